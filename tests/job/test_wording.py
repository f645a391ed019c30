"""Numbers and verbs as they are said."""

import pytest

from reassembly.job.wording import many, one_by_one, several, stand, verb


@pytest.mark.parametrize(
    ("noun", "said"),
    [
        ("lug", "faces"), ("slots", "face"), ("slots of the bearing", "face"), ("grease nipple", "faces"),
        ("boss", "faces"), ("lens", "faces"), ("lug and arrow", "face"), ("opening in the cups", "faces"),
    ],
)  # fmt: skip
def test_a_verb_goes_with_what_it_speaks_of(noun: str, said: str) -> None:
    assert verb("face", noun) == said
    assert several(noun) == (said == "face")


def test_one_is_not_several() -> None:
    assert [stand(n, "check") for n in (1, 2)] == ["1 check is", "2 checks are"]
    assert [many(n, "bag or tag") for n in (1, 2)] == ["1 bag or tag", "2 bags and tags"]


def test_names_with_a_comma_of_their_own_are_told_apart() -> None:
    assert one_by_one(["pan", "filter", "yoke", "plug", "seal"]) == "pan, filter, yoke and 2 more"
    assert one_by_one(["propshaft, rear flange", "pan"]) == "propshaft, rear flange; pan"
