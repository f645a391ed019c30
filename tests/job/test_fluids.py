"""How much went in against what came out, and who is told where it is too little."""

from typing import Any

import pytest

from reassembly.job import entries as said
from reassembly.job.doubts import doubts
from reassembly.job.fluids import filled
from reassembly.job.job import Job
from reassembly.job.shop import Shop
from reassembly.job.signoff import signoff
from tests.job.histories import History

DRAINED = said.FluidDrained(fluid="gear oil", amount="5.2 l")
IN = said.FluidFilled
# at 90 % of what was drained, 4.68 l, enough is in: common practice, no source
STORIES: dict[str, tuple[list[Any], str, str, str]] = {  # fills, value confirmed; said so far, the warning
    "short": ([IN(fluid="gear oil", amount="3 l")], "", "3 l of 5.2 l drained, 2.2 l missing", "2.2 l missing"),
    "short, several": (
        [IN(fluid="gear oil", amount="2 l"), IN(fluid="Gear  oil", amount="1 l")], "",
        "2 l + 1 l = 3 l of 5.2 l drained, 2.2 l missing", "2.2 l missing",
    ),
    "nearly": ([IN(fluid="gear oil", amount="4.68 l")], "", "4.68 l of 5.2 l drained, 0.52 l missing", ""),
    "all": ([IN(fluid="gear oil", amount="5.2 l")], "", "5.2 l of 5.2 l drained", ""),
    "too much": ([IN(fluid="gear oil", amount="6 l")], "", "6 l of 5.2 l drained", ""),
    "another fluid": ([IN(fluid="coolant", amount="5.2 l")], "", "", "nobody said how much went in, 5.2 l missing"),
    "not said": ([], "", "", "nobody said how much went in, 5.2 l missing"),
    "said with the confirmation": ([], "5.2 l", "", ""),
    "too little said with it": ([], "3 l", "", "2.2 l missing"),
    "in words": ([], "to the brim", "", ""),
    "a unit nobody can read": ([IN(fluid="gear oil", amount="3 cups")], "", "3 cups: ", "gear oil: 3 cups: cups"),
    "less than nothing": ([IN(fluid="gear oil", amount="-5 l")], "", "-5 l: ", "a volume is not below nothing"),
    "less than nothing, said with it": ([], "-5 l", "", "a volume is not below nothing"),
    "nothing": ([IN(fluid="gear oil", amount="0 l")], "", "0 l of 5.2 l drained, 5.2 l missing", "fills nothing"),
}  # fmt: skip


@pytest.mark.parametrize(("fills", "value", "so_far", "warning"), STORIES.values(), ids=STORIES.keys())
def test_what_is_missing_is_told_before_at_once_and_at_signoff(
    fills: list[Any], value: str, so_far: str, warning: str
) -> None:
    history = History()
    for fact in (DRAINED, *fills):
        history.say(fact)
    job, confirm = Job.of(history.entries), said.CheckConfirmed(check="A.1.fill", value=value)
    told = filled("gear oil", job)
    assert told == so_far or (so_far and told.startswith(so_far))
    at_once = [doubt.sentence for doubt in doubts(confirm, job, Shop.of(()))]
    history.say(confirm)
    after = signoff(Job.of(history.entries), Shop.of(()))
    for sentences in (at_once, list(after.warnings)):
        assert len(sentences) == bool(warning)
        assert all(warning in sentence for sentence in sentences)


def test_nobody_is_warned_where_it_was_not_measured_how_much_came_out_or_the_check_is_open() -> None:
    history = History()
    history.say(said.FluidDrained(fluid="gear oil"))
    history.say(said.FluidDrained(fluid="coolant", amount="6 l"))
    history.say(said.CheckConfirmed(check="A.1.fill"))
    assert signoff(Job.of(history.entries), Shop.of(())).warnings == ()
