"""The record of a job, as data and as pages read back by another program."""

import json
import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from reassembly.job import entries as said
from reassembly.job.entries import Entry, Fact, Stage, kinds
from reassembly.job.fields import Field, fields
from reassembly.job.job import Job
from reassembly.job.notation import Notation
from reassembly.job.shop import Shop
from reassembly.job.wording import minute
from reassembly.record.customer import Customer
from reassembly.record.finding import JobLine
from reassembly.record.gathering import Gathered
from reassembly.record.pages import document
from reassembly.record.paper import as_data, write_pdf
from reassembly.record.photos import keep, of_job
from reassembly.record.trouble import Trouble
from reassembly.record.typeset import REPLACEMENT, safe
from reassembly.record.writing import Head
from tests.record.camera import take

DIGEST = "ABCDEFGHIJKLMNOP"
HEADS = {"KD": Head(40, 1, "0f" * 32)}


def told(*facts: Fact | tuple[str, Fact], job: str = "KD-1") -> tuple[Entry[Any], ...]:
    """Entries a minute apart, said by ann unless somebody else is named; those of the shop before any job."""
    said_by = [fact if isinstance(fact, tuple) else ("ann", fact) for fact in facts]
    return tuple(
        Entry(
            bench="KD", number=n, hlc=n if job else n - 1000, time=f"2026-03-14T{8 + n // 60:02}:{n % 60:02}:03+01:00",
            who=who, job=job, previous="", fact=fact,
        )
        for n, (who, fact) in enumerate(said_by, 1)
    )  # fmt: skip


PEOPLE = told(said.PersonAdded(person="ann"), said.PersonAdded(person="ben"), said.PersonAdded(person="joss"), job="")
SHOP = Shop.of(
    told(
        said.PersonAdded(person="ann", name="Ann Thistlewood"),
        said.WrenchAdded(wrench="T3", low="40 N.m", high="200 N.m", name="click wrench"),
        said.WrenchCalibrated(wrench="T3", on="2026-01-05", until="2027-01-05", certificate="C-432"),
        said.WrenchCalibrated(wrench="T3", on="2026-06-01", until="2027-06-01", certificate="C-500"),
        job="",
    )
)
STORY = (
    said.JobOpened(vehicle="Kestrel van", registration="4TN 881", vin="EZZ", complaint="drones", order="412"),  # 1
    said.CodeRead(code="P0732", module="gearbox control"),
    said.RoadTested(felt="drone from 60 km/h"),
    said.FindingNoted(what="fluid leak", where="right rear of the pan"),
    said.PartRemoved(part="shaft", name="propshaft", note="marks seen"),  # 5
    said.MarkMade(part="shaft", mark="white paint", to="flange", spline_teeth=28, marked_tooth=7),
    said.FastenersRemoved(part="shaft", count=4, thread="M10x1.25", lengths=("35", "35", "50", "35"), strength="10.9"),
    said.TorqueSpecified(part="shaft", stages=(Stage("torque", "60 N.m"), Stage("angle", "9 deg")), order=(1, 3, 2, 4)),
    said.PartRemoved(part="bearing", name="centre bearing", parent="shaft"),
    said.PartRemoved(part="slip", name="slip of the pen"),  # 10
    said.EntryStruck(entry="KD.10", why="never came off"),
    said.FluidDrained(fluid="ATF", amount="5.8 l"),
    said.AidFitted(aid="stand", where="under the gearbox"),
    said.CheckConfirmed(check="KD.9.back", value="0.1 mm play", note="by feel"),
    ("ben", said.StageTightened(specification="KD.8", stage=1, position=1, wrench="T3", setting="58 N.m")),  # 15
    ("ben", said.StageTightened(specification="KD.8", stage=1, position=3, wrench="T3", setting="58 N.m")),
    ("ben", said.StageTightened(specification="KD.8", stage=1, position=2, value="61 N.m", wrench="T9")),
    ("ben", said.StageTightened(specification="KD.8", stage=1, position=4, wrench="T3")),
    said.StageTightened(specification="KD.8", stage=2),
    said.ExceptionAccepted(check="KD.6.tooth", reason="paint ran out", accepted_by="joss"),  # 20
    said.FluidFilled(fluid="ATF", amount="2.5 l"),
    said.CodesCleared(),
    said.RoadTested(when="after", felt="quiet"),
)  # fmt: skip
CUSTOMER = Customer(name="Mabel Quillfeather", phone="555 0142", address="3 Millrace Lane", email="m@quill.example")


def gathered(*facts: Fact | tuple[str, Fact], **changes: Any) -> Gathered:
    return Gathered(Job.of(told(*facts), PEOPLE), SHOP, CUSTOMER, DIGEST, HEADS)._replace(**changes)


WHOLE = gathered(*STORY)


def pages_of(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(BytesIO(pdf)).pages]


def text_of(found: Gathered) -> str:
    return squeezed("".join(pages_of(document(as_data(found)))))


def squeezed(text: str) -> str:
    """Without spaces and line breaks: where a line was broken does not matter."""
    return re.sub(r"\s", "", text)


def texts(data: Any) -> Iterator[str]:
    if isinstance(data, dict):
        for value in data.values():
            yield from texts(value)
    elif isinstance(data, list):
        for value in data:
            yield from texts(value)
    elif isinstance(data, str):
        yield data


def test_the_data_are_plain_enough_for_json() -> None:
    data = as_data(WHOLE)
    assert json.loads(json.dumps(data)) == data


def test_every_standing_and_every_struck_entry_is_in_the_record() -> None:
    assert [each["entry"] for each in as_data(WHOLE)["entries"]] == [f"KD.{n}" for n in range(1, len(STORY) + 1)]


# Keys are for programs; parts are shown by name, states in words, times as on the wall, entries only once.
NOT_SHOWN_AS_THEY_ARE = {"key", "part", "state", "when", "struck_when", "last_used", "entry", "how", "last"}


def shown_texts(data: Any) -> Iterator[str]:
    if isinstance(data, dict):
        for name, value in data.items():
            if name not in NOT_SHOWN_AS_THEY_ARE or not isinstance(value, str):
                yield from shown_texts(value)
    elif isinstance(data, list):
        for value in data:
            yield from shown_texts(value)
    elif isinstance(data, str):
        yield data


def test_what_is_in_the_data_is_on_the_pages() -> None:
    data = as_data(WHOLE)
    pages = text_of(WHOLE)
    opened = data["job"].pop("opened")
    assert squeezed(minute(opened)) in pages
    data["digest"] = "ABCD EFGH IJKL MNOP"
    assert [text for text in shown_texts(data) if squeezed(text) not in pages] == []


def test_each_position_is_shown_with_its_wrench_and_those_alike_together() -> None:
    pages = text_of(WHOLE)
    assert squeezed("positions 1 3, wrench T3 set to 58 N.m, ben") in pages
    assert squeezed("position 2, wrench T9, measured 61 N.m, ben") in pages
    assert squeezed("position 4, wrench T3, ben") in pages
    assert squeezed("whole stage at once, ann") in pages


def test_a_wrench_is_shown_with_the_calibration_that_held_when_it_was_used() -> None:
    (t3, t9) = as_data(WHOLE)["wrenches"]
    assert (t3["calibrated"], t3["certificate"], t3["used"]) == ("2026-01-05", "C-432", 3)
    assert (t9["name"], t9["calibrated"]) == ("not in the rack", "")


def test_lengths_are_shown_position_by_position() -> None:
    assert squeezed("lengths by position: 35, 35, 50, 35") in text_of(WHOLE)


@pytest.mark.usefixtures("answers_left_out")
def test_the_first_page_alone_answers_what_is_asked_first() -> None:
    closed = gathered(*STORY, said.SignedOff(covers={"KD": 24}, checks=("KD.9.back",)))
    first, second, *_ = pages_of(document(as_data(closed)))
    for words in (
        "412 Kestrel van",
        "Mabel Quillfeather",
        "complaint drones",
        "road test before the work, drone from 60 km/h",
        "2 parts: propshaft; centre bearing",
        "ATF: 2.5 l of 5.8 l drained",
        "road test after the work, quiet",
        "tightened: ben, Ann Thistlewood (ann)",
        "signed off: Ann Thistlewood (ann)",
        "paint ran out, accepted by joss",
        "a torque without a source: propshaft",
        "struck out 1 entry",
        "4 x propshaft 60 N.m, 9 deg",
        "T9 is not in the rack",
        "ABCD EFGH IJKL MNOP stands for every entry",
    ):
        assert squeezed(words) in squeezed(first), words
    assert second.startswith("Warnings, the gravest first")


def test_the_first_page_is_one_page_however_long_the_job_and_says_what_it_leaves_out() -> None:
    parts = [
        fact
        for n in range(40)
        for fact in (
            said.PartRemoved(part=f"p{n}", name=f"part with a name that is long enough to be cut, number {n}"),
            said.RenewalNeeded(what=f"gasket of part {n}", part=f"p{n}"),
            said.FastenersRemoved(part=f"p{n}", count=4),
            said.TorqueSpecified(part=f"p{n}", stages=(Stage("torque", "60 N.m"), Stage("angle", "9 deg"))),
            said.FluidDrained(fluid=f"fluid {n}", amount="5.8 l"),
            said.FindingNoted(what="x" * 300, where="everywhere"),
            said.ExceptionAccepted(check=f"KD.{7 * n + 2}.back", reason="y" * 300, accepted_by="joss"),
        )
    ]
    first, second, *_ = pages_of(
        document(as_data(gathered(said.JobOpened(vehicle="Van", complaint="z" * 900), *parts)))
    )
    assert "40 parts: part with a name" in squeezed_lines(first)
    assert re.search(r"and \d+ joints more", squeezed_lines(first))
    assert "and 37 more" in squeezed_lines(first)
    assert "stands for every entry" in squeezed_lines(first)
    assert second.startswith("Warnings, the gravest first")


def test_the_first_page_names_who_made_the_second_check_of_each_safety_critical_set() -> None:
    stages = (Stage("torque", "60 N.m"),)
    story: list[Any] = [said.JobOpened(vehicle="Van")]
    for part in ("calliper", "hub"):
        story += [
            said.PartRemoved(part=part, name=part),
            said.FastenersRemoved(part=part, count=2, safety_critical=True),
            said.TorqueSpecified(part=part, stages=stages),
        ]
    story += [
        said.StageTightened(specification="KD.4", stage=1, wrench="T9"),
        ("ben", said.SecondCheckMade(check="KD.3.second")),
        said.StageTightened(specification="KD.7", stage=1, wrench="T3"),
    ]
    first = squeezed_lines(pages_of(document(as_data(gathered(*story))))[0])
    assert re.search(r"second checks hub: NOT MADE, open calliper: ben, 2026-\d\d-\d\d", first)
    skipped = gathered(*story, said.ExceptionAccepted(check="KD.6.second", reason="nobody is here", accepted_by="joss"))
    first = squeezed_lines(pages_of(document(as_data(skipped)))[0])
    assert "hub: NOT MADE, excepted" in first
    assert "warnings no second check, joss accepted it: hub, nobody is here safety-critical, said" in first
    assert "said tight at once: calliper, all 2, 60 N.m" in first


def test_a_second_person_added_by_the_fitter_during_the_job_is_told_on_the_first_page_and_at_the_check() -> None:
    story = (
        said.JobOpened(vehicle="Van"),
        said.PartRemoved(part="hub", name="hub"),
        said.FastenersRemoved(part="hub", count=2, safety_critical=True),
        said.CheckConfirmed(check="KD.3.tight"),
        ("anne", said.SecondCheckMade(check="KD.3.second")),
    )
    anne = Entry(
        bench="KD", number=9, hlc=4, time="2026-03-14T16:50:00+01:00", who="ann", job="", previous="",
        fact=said.PersonAdded(person="anne"),
    )  # fmt: skip
    data = as_data(gathered(*story, job=Job.of(told(*story), (*PEOPLE, anne))))
    sentence = (
        "anne was added 2026-03-14 16:50, after this job was opened, by ann, who did the work; "
        "anne and ann are close names"
    )
    (second,) = [check for step in data["steps"] for check in step["checks"] if check["key"] == "KD.3.second"]
    assert second["second_person"] == sentence
    first, *rest = map(squeezed_lines, pages_of(document(data)))
    assert re.search(rf"second checks hub: anne, 2026-\S+ \S+ {sentence}", first)
    assert re.search(rf"warnings {sentence}: second check of hub", first)
    refit = next(page for page in rest if "Refit, step by step" in page).partition("Refit, step by step")[2]
    assert squeezed(sentence) in squeezed(refit)


def squeezed_lines(text: str) -> str:
    return " ".join(text.split())


def test_a_step_names_what_it_waits_for_first_and_how_much_more() -> None:
    off = [said.PartRemoved(part=name, name=name) for name in ("first off", "second off", "third off", "last off")]
    data = as_data(gathered(*off))
    assert [(step["waits_for"], step["and_more"]) for step in data["steps"]] == [
        ("", 0), ("last off", 0), ("last off", 1), ("last off", 2),
    ]  # fmt: skip
    assert squeezed("waits for last off and 2 more") in squeezed("".join(pages_of(document(data))))


def test_the_record_of_a_long_job_grows_with_its_parts() -> None:
    def size(parts: int) -> int:
        off = (said.PartRemoved(part=f"p{n}", name=f"part {n}") for n in range(parts))
        return len(json.dumps(as_data(gathered(*off))))

    assert size(80) < 2.2 * size(40)


@pytest.mark.usefixtures("answers_left_out")
def test_each_section_of_the_record_has_its_heading_in_this_order() -> None:
    closed = gathered(
        *STORY, said.SignedOff(covers={"KD": 24}, checks=("KD.9.back",)), said.FindingNoted(what="late find")
    )
    pages = text_of(closed)
    headings = [
        "Warnings, the gravest first",
        "Complaint, and what was found before the work",
        "Strip-down, in the order the parts came off",
        "Of the vehicle as a whole",
        "Refit, step by step",
        "Checks of the vehicle as a whole",
        "Exceptions: checks knowingly not met",
        "Fluids",
        "After the work",
        "Torque tools used",
        "Sign-off",
        "Changed after sign-off",
        "Struck out",
        "Workings: numbers computed from what was said",
        "Everything said, in order",
    ]
    at = 0
    for heading in headings:
        assert squeezed(heading) in pages[at:], heading
        at = pages.index(squeezed(heading), at)


def test_every_computed_number_stands_with_its_workings() -> None:
    found = gathered(
        STORY[0],
        said.PartRemoved(part="shaft", name="propshaft"),
        said.WeightFound(part="shaft", position="hole 2 of 8", mass="14 g", radius="45 mm"),
    )
    left = next(each for each in as_data(found)["workings"] if each["title"] == "one hole out leaves")
    assert left["about"] == "propshaft"
    assert left["lines"][0].startswith("482.2 g.mm = 2 x unbalance x sin(angle / 2)")
    pages = text_of(found)
    for line in left["lines"]:
        assert squeezed(line) in pages


def test_an_exception_names_its_reason_and_who_answers_for_it() -> None:
    (exception,) = as_data(WHOLE)["exceptions"]
    assert (exception["reason"], exception["accepted_by"], exception["who"]) == ("paint ran out", "joss", "ann")


def test_what_was_struck_out_stays_readable_with_its_reason() -> None:
    (struck,) = as_data(WHOLE)["struck"]
    assert (struck["told"], struck["why"], struck["struck_by"]) == (
        "slip of the pen taken off",
        "never came off",
        "ann",
    )
    assert "slip" not in [part["part"] for part in as_data(WHOLE)["parts"]]


def test_a_job_in_hand_says_what_is_open() -> None:
    data = as_data(WHOLE)
    assert data["signed_off"] is None
    assert f"NOTSIGNEDOFF:{len(data['open'])}checksopen" in text_of(WHOLE)
    assert "slip" not in str(data["open"])


@pytest.mark.usefixtures("answers_left_out")
def test_after_sign_off_the_record_says_who_signed_and_what_changed_since() -> None:
    closed = gathered(
        *STORY,
        said.SignedOff(covers={"KD": 24}, note="as agreed", checks=("KD.9.back",)),
        said.FindingNoted(what="late find"),
    )
    data = as_data(closed)
    assert data["signed_off"]["who"] == "ann"
    assert [each["told"] for each in data["since_signoff"]] == ["found before the work: late find"]
    assert squeezed("Signed off 2026-03-14 08:24 by Ann Thistlewood (ann)") in text_of(closed)
    assert squeezed("Changed after sign-off: 1 entry, listed there") in text_of(closed)


def test_both_jobs_of_a_come_back_are_named() -> None:
    line = JobLine("KD-0", "388", "Kestrel van", "4TN 881", "", "oil spots", "", "2025-03-01T08:00", "", True, "")
    later = line._replace(id="KD-7", order="", complaint="shudder")
    pages = text_of(gathered(said.JobOpened(vehicle="Van", earlier="KD-0"), earlier=line, later=(later,)))
    assert squeezed("Come-back from order 388, Kestrel van 4TN 881, 2025-03-01, oil spots (job KD-0)") in pages
    assert squeezed("Came back as Kestrel van 4TN 881, 2025-03-01, shudder (job KD-7)") in pages
    assert squeezed("checked in, Van, come-back from order 388, 2025-03-01") in pages


def test_an_erased_customer_is_nowhere_in_the_record() -> None:
    erased = gathered(*STORY, said.DetailsErased(entry="KD.2", why="asked by letter"), customer=None)
    assert "Quillfeather" not in json.dumps(as_data(erased))
    assert "erasedonrequest" in text_of(erased)


def test_the_digest_and_the_page_number_stand_at_every_foot() -> None:
    pages = pages_of(document(as_data(WHOLE)))
    assert len(pages) > 2
    for number, page in enumerate(pages, 1):
        assert "journalABCDEFGHIJKLMNOP" in squeezed(page)
        assert f"page {number} of {len(pages)}" in page


def test_the_same_data_give_the_same_bytes() -> None:
    assert document(as_data(WHOLE)) == document(as_data(WHOLE))


def test_headings_stand_again_on_every_page_of_a_long_table() -> None:
    many = [said.FindingNoted(what=f"finding {n}", where="somewhere") for n in range(150)]
    pages = pages_of(document(as_data(gathered(STORY[0], *many))))
    table = [page for page in pages if re.search(r"found before the work: finding \d+, somewhere\s", page)]
    assert len(table) > 3
    assert all(re.search(r"(what|state)\s+by\s+when", page) for page in table)


def test_a_text_longer_than_a_page_is_all_there() -> None:
    word, long = "Donaudampfschiff" * 40, "long story " * 1500
    story = said.FindingNoted(what=word, where=long)
    whole = pages_of(document(as_data(gathered(STORY[0], story))))
    pages = "".join(re.sub(r"journalABCD.*", "", squeezed(page)) for page in whole)
    assert pages.count("Donaudampfschiff") >= 4 * 36  # less where a page breaks a word
    assert pages.count("story") == 4 * 1500  # at check-in, as a check, as an open one, and in order
    table = [page for page in whole if page.count("story") > 20]
    assert len(table) > 1
    assert all(re.search(r"(what|state)\s+by\s+when", page) for page in table)


def test_a_text_kept_before_there_was_a_limit_is_cut_and_says_so() -> None:
    whole = "".join(
        squeezed(page) for page in pages_of(document(as_data(gathered(said.FindingNoted(what="x" * 10**6)))))
    )
    assert re.search(r"\(cuthere:1,000,0\d\dcharacters,allofthemareinthejournal\)", whole)
    assert whole.count("x") < 10**5


HOSTILE = [
    "[bold red]x[/] {0} %s </b>",
    "\x1b[2J\x07\x00bell",
    "\u202eevil\u200b",
    "שלום مرحبا",
    "修理 記録",
    "🔧👩‍🔧",
    "e\u0301\u0316" * 50,
    "\ud800 lone",
    "\n\r\t\v",
    "a" * 1200,
    "",
]


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_in_any_field_of_any_kind_is_printed_or_visibly_replaced(text: str) -> None:
    facts = tuple(filled(kind, text) for kind in kinds())
    found = gathered(STORY[0], *facts, customer=Customer(name=text, phone=text), digest=text)
    pages = text_of(found)
    if len(text) < 100:  # longer ones are broken by pages
        assert squeezed(safe(text)) in pages


def filled(kind: type[Fact], text: str) -> Fact:
    return kind(**{each.name: _value(each, text) for each in fields(kind)})


def _value(of: Field, text: str) -> Any:
    if of.type.startswith('"'):
        return of.type.split('"')[1] or of.type.split('"')[3]
    if of.type.startswith("a whole number"):
        return 3
    by_type = {"text": text, "true or false": True, "list of text": (text,), "list of whole number": (1, 2, 3)}
    return by_type.get(of.type, (Stage("torque", text),) if of.type == "list of Stage" else {"KD": 3})


def test_signs_that_the_font_lacks_are_seen_to_be_missing() -> None:
    pages = text_of(gathered(said.JobOpened(vehicle="Kestrel \u4fee\x07 van", complaint="grün")))
    assert f"Kestrel{REPLACEMENT}{REPLACEMENT}van" in pages
    assert "grün" in pages


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("\u202eevil", "\ufffdevil"),  # would turn the writing round
        ("zero\u200bwidth", "zero\ufffdwidth"),
        ("tab\tand\nline", "tab and line"),
        ("\x1b[31m", "\ufffd[31m"),
        ("u\u0308ber", "über"),
        ("\u0915\u093f", "\ufffd\ufffd"),  # Devanagari would need shaping
        ("Ω 5 °C · ½ ≤", "Ω 5 °C · ½ \ufffd"),
    ],
)
def test_what_is_printed_means_what_it_shows(text: str, shown: str) -> None:
    assert safe(text) == shown


def test_a_history_of_a_newer_program_is_printed() -> None:
    unknown = Entry(
        bench="KD", number=2, hlc=2, time="", who="", job="KD-1", previous="", fact=said.Unknown(b'{"kind":"X"}', "new")
    )
    found = gathered()._replace(job=Job.of((*told(STORY[0]), unknown)))
    assert squeezed("NOT UNDERSTOOD") in text_of(found)


def test_an_empty_job_has_a_record() -> None:
    assert "NOTSIGNEDOFF" in text_of(gathered())


def test_a_record_that_cannot_be_written_is_said_and_the_old_one_stays(tmp_path: Path) -> None:
    path = tmp_path / "record.pdf"
    write_pdf(path, WHOLE)
    before = path.read_bytes()
    (tmp_path / "record.pdf.part").mkdir()
    with pytest.raises(Trouble):
        write_pdf(path, WHOLE)
    assert path.read_bytes() == before


# dates, decimals, and how far it is


HERE = Notation("14.03.2026", ",")


@pytest.mark.usefixtures("answers_left_out")
def test_dates_and_computed_numbers_are_written_as_the_shop_does_and_what_was_typed_as_typed() -> None:
    typed = said.FindingNoted(what="dry since 2026-01-31, 0.15 mm play")
    signed = said.SignedOff(covers={"KD": 24}, checks=("KD.9.back",))
    ours = gathered(*STORY[:3], typed, *STORY[4:], signed)
    text = squeezed("".join(pages_of(document(as_data(ours, HERE), notation=HERE))))
    for words in (
        "Signed off 14.03.2026 08:24 by Ann Thistlewood (ann)",  # in a sentence
        "checked in 14.03.2026 08:01 by ann",
        "05.01.2026, good until 05.01.2027",
        "last 14.03.2026 08:18",
        "2,5 l of 5,8 l drained",
        "dry since 2026-01-31, 0.15 mm play",
    ):
        assert squeezed(words) in text, words
    assert "2026-03-14" not in text


def test_a_class_in_the_workings_is_no_number() -> None:
    data = as_data(gathered(*STORY), HERE)
    inputs = [line for each in data["workings"] for line in each["lines"]]
    assert "d2 = 9,188 mm" in inputs
    assert not any("10,9" in each["title"] for each in data["workings"])


def test_data_are_iso_with_a_point_whatever_the_shop_writes() -> None:
    data = as_data(WHOLE._replace(notation=HERE))
    assert data == as_data(WHOLE)
    assert data["job"]["opened"].startswith("2026-03-14T")


def test_how_far_it_is_counts_to_the_end_and_never_back(tmp_path: Path) -> None:
    heard: dict[str, list[tuple[int, int]]] = {}

    def progress(what: str, done: int, total: int) -> None:
        heard.setdefault(what, []).append((done, total))

    found = photographed(tmp_path, 6)
    write_pdf(tmp_path / "record.pdf", found._replace(job=Job.of((*found.job.entries, *WHOLE.job.entries))), progress)
    assert set(heard) == {"parts reckoned", "lines and pictures drawn"}
    for several in heard.values():
        assert several == sorted(several)
        assert several[-1][0] == several[-1][1], "the total is that of what is drawn"


# photos


def photographed(tmp_path: Path, count: int) -> Gathered:
    """A job with so many photos, the first of a part, the last struck out, and one that is gone."""
    kept = [keep(tmp_path, take(tmp_path / f"{n}.jpg", shade=5 * n, width=480, height=320)) for n in range(count)]
    facts = [said.PhotoKept(digest=each.digest, taken="2026-03-14T07:31") for each in kept[1:]]
    first = said.PhotoKept(digest=kept[0].digest, part="shaft", caption="white paint, two dots")
    story = [*STORY[:7], first, *facts, said.PhotoKept(digest="0" * 64)]
    found = gathered(*story, said.EntryStruck(entry=f"KD.{len(story) - 1}", why="blurred"))
    return found._replace(photos=of_job(tmp_path, found.job))


def test_photos_stand_four_a_page_each_with_what_it_shows_who_kept_it_and_when(tmp_path: Path) -> None:
    found = photographed(tmp_path, 10)
    pdf = document(as_data(found), found.photos)
    several = [page for page in PdfReader(BytesIO(pdf)).pages if len(page.images)]
    assert [len(page.images) for page in several] == [2, 4, 3]  # nine stand; the struck one is only told
    text = squeezed("".join(page.extract_text() for page in several))
    for words in ("propshaft", "white paint, two dots", "Ann Thistlewood (ann), 2026-03-14 08:08", "taken 2026-03-14"):
        assert squeezed(words) in text
    assert squeezed("This photo is gone: bring it back from a backup.") in text
    assert pdf == document(as_data(found), found.photos)
    assert max(len(image.data) for page in several for image in page.images) < 200_000


def test_a_photo_that_was_altered_is_said_to_be_so_on_paper(tmp_path: Path) -> None:
    found = photographed(tmp_path, 3)
    for path in found.photos.values():
        path.write_bytes(path.read_bytes()[:200])
    assert squeezed("This photo cannot be read: it was altered or is damaged.") in squeezed(
        "".join(pages_of(document(as_data(found), found.photos)))
    )


def test_every_warning_stands_on_the_page_that_the_first_one_names_and_a_wrench_in_doubt_says_so() -> None:
    story: list[Any] = [said.JobOpened(vehicle="Van")]
    for n in range(6):
        story += [
            said.PartRemoved(part=f"p{n}", name=f"part {n}"),
            said.TorqueSpecified(part=f"p{n}", stages=(Stage("torque", "60 N.m"),), count=1),
        ]
    story.append(said.StageTightened(specification="KD.3", stage=1, wrench="T9"))
    data = as_data(gathered(*story))
    first, second, *_ = map(squeezed_lines, pages_of(document(data)))
    assert len(data["warnings"]) == 7
    assert "and 4 more: see page 2" in first
    assert second.startswith("Warnings, the gravest first")
    assert all(squeezed(warning) in squeezed(second) for warning in data["warnings"])
    assert squeezed("T9 is not in the rack") in squeezed(first.partition("Joints tightened")[2])
