"""Who is known in the workshop, and whether two names are two people."""

import pytest

from reassembly.job.entries import EntryStruck, PersonAdded
from reassembly.job.people import People, name_key
from tests.job.histories import History


def people(*facts: object) -> People:
    history = History()
    for fact in facts:
        history.say(fact)
    return People.of(history.entries)


ANN, BEN = PersonAdded(person="ann", name="Ann Baker"), PersonAdded(person="ben")


@pytest.mark.parametrize(
    "name",
    ["ann", "ANN", "a n n", " ann\t", "an\u200bn", "\u2060ann\ufeff", "ann\ufe0f", "ann\u3164", "\uff21nn", "Ann Baker",
     "annbaker", "ann\u00adbaker", "\u24d0nn"],
)  # fmt: skip
def test_a_person_is_found_by_short_and_full_name_however_it_is_written(name: str) -> None:
    assert people(ANN, BEN).find(name) == ANN
    assert not people(ANN, BEN).another(name, "ann")


@pytest.mark.parametrize("name", ["", " ", "\u200b", "\u3164", "\u2800", "\U000e0020", "\x00", "\u034f"])
def test_a_name_of_which_nothing_can_be_seen_is_nobodys(name: str) -> None:
    assert name_key(name) == ""
    assert people(ANN, PersonAdded(person="\u200b")).find(name) is None


def test_letters_written_in_one_piece_or_two_are_the_same() -> None:
    assert name_key("Zo\u00eb") == name_key("Zoe\u0308") == name_key("ZOE\u034f\u0308")


def test_two_known_people_are_two_and_anybody_else_may_be_either() -> None:
    known = people(ANN, BEN)
    assert known.another("Ann Baker", "ben")
    assert not known.another("ann", "milo")
    assert not known.another("milo", "ben")
    assert not known.another("", "ben")


def test_one_person_who_was_added_twice_is_one() -> None:
    known = people(ANN, PersonAdded(person="ab", name="Ann  BAKER"), PersonAdded(person="x", name="ann"), BEN)
    assert not known.another("ann", "ab")
    assert not known.another("x", "ann")
    assert known.another("ab", "ben")


def test_who_was_struck_out_is_not_known_and_what_was_said_last_counts() -> None:
    assert people(ANN, EntryStruck(entry="A.1", why="left")).find("ann") is None
    renamed = people(ANN, PersonAdded(person="Ann", name="Ann Smith"))
    assert (renamed.find("Ann Smith"), len(renamed.known)) == (PersonAdded(person="Ann", name="Ann Smith"), 1)


def test_whoever_is_renamed_stays_one_person_by_every_name_ever_had() -> None:
    renamed = people(
        PersonAdded(person="ann", name="Ann Baker"),
        PersonAdded(person="ab", name="Ann Baker"),
        PersonAdded(person="ab", name="Amy Bell"),
        BEN,
    )
    assert not renamed.another("ann", "ab")
    assert not renamed.another("Amy Bell", "Ann Baker")
    assert renamed.another("ab", "ben")
    again = people(ANN, PersonAdded(person="ann", name="Ann Smith"), PersonAdded(person="x", name="Ann Baker"))
    assert not again.another("ann", "x")
    assert again.find("Ann Baker") == PersonAdded(person="x", name="Ann Baker")


@pytest.mark.parametrize(
    ("one", "other"), [("Ann Baker", "Ann Baker."), ("J. O'Neil-Ray", "J ONeil Ray"), ("\u201cann\u201d", "ann")]
)
def test_punctuation_makes_nobody_another(one: str, other: str) -> None:
    known = people(PersonAdded(person="p", name=one), PersonAdded(person="q", name=other), BEN)
    assert not known.another("p", "q")
    assert known.another("p", "ben")


def test_a_name_of_nothing_but_punctuation_is_a_name() -> None:
    assert name_key("?!") == "?!"


@pytest.mark.parametrize("slip", ["anm", "nan", "Ann Bakr", "AMN"])
def test_a_slip_is_near_to_whom_it_meant(slip: str) -> None:
    assert people(ANN, BEN).near(slip)[0] == "ann"
    assert people(ANN, BEN).near("milo") == []
