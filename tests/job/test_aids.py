"""Whether an aid holds something or stands in the way, by its words."""

import pytest

from reassembly.job.aids import bears_weight, purpose
from reassembly.job.entries import AidFitted

# from the list of the trade's usual aids: common practice, no source
HOLDS = (
    "transmission jack", "jackstand", "Axle stands", "ratchet strap", "wire", "zip tie", "cable ties", "bungee",
    "engine support beam", "locking pin", "timing pin", "C clamp", "hose clamp", "S hook", "prop", "wood block",
    "rope", "sling", "chain hoist", "spring compressor that holds the spring",
)  # fmt: skip
IN_THE_WAY = (
    "plug", "clean rag", "Rags", "dust cap", "plastic cover", "rubber bung", "cloth", "paper towel", "cling film",
    "blanking plate", "plastic bag", "plugged with paper",
)  # fmt: skip
NOT_TOLD = ("gadget", "", "guide stud", "tape", "plug on a wire", "strapped cover", "standard thing", "capstan")


@pytest.mark.parametrize(
    ("aid", "told"),
    [
        *((aid, "holds") for aid in HOLDS),
        *((aid, "in the way") for aid in IN_THE_WAY),
        *((aid, "not told") for aid in NOT_TOLD),
    ],
)
def test_what_an_aid_does_is_told_by_what_it_is_called(aid: str, told: str) -> None:
    assert purpose(AidFitted(aid=aid)) == told


@pytest.mark.parametrize(
    ("aid", "bears"),
    [
        *((aid, True) for aid in ("transmission jack", "jackstand", "Axle stands", "prop", "engine support beam")),
        *((aid, False) for aid in ("wire", "ratchet strap", "support strap", "locking pin", "jack cover", "standard")),
    ],
)
def test_what_bears_weight_is_told_from_what_is_tied(aid: str, bears: bool) -> None:
    assert bears_weight(AidFitted(aid=aid)) is bears


@pytest.mark.parametrize(
    ("aid", "where", "told"),
    [
        ("tape loop", "holds the cable away from the pan", "holds"),
        ("tape", "closes the port", "in the way"),
        ("tape", "on the support bracket", "not told"),
        ("rag", "holds the dirt out of the bore", "in the way"),
        ("wire", "round the plug", "holds"),
        ("plug on a wire", "closes the port", "in the way"),
    ],
)
def test_where_it_is_fitted_decides_only_what_its_name_leaves_open(aid: str, where: str, told: str) -> None:
    assert purpose(AidFitted(aid=aid, where=where)) == told
