"""A customer's details erased at the bench: the screens say so, and tell what still names the person."""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.record.customer import Customer
from tests.screens.bench import at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk


async def test_record_and_job_say_that_it_was_erased_on_request(desk: Desk) -> None:
    for registration in ("4TN 881", "9XX 10"):
        job = desk.open_new(said.JobOpened(vehicle="Kestrel van", registration=registration))
        desk.say(said.CustomerNamed(digest=""), details=Customer(name="Rosa Lind", phone="0555 0142"))
    desk.open_job = ""
    async with at_bench(desk) as bench:
        await bench.press("enter", "d")
        assert "customer Rosa Lind  0555 0142" in bench.painted()
        await bench.press("p")
        await bench.until(lambda: "written" in bench.answer())
        await bench.press("z")
        await bench.type("by letter")
        await bench.press("enter", *"x", "enter")
        assert "ann is at the bench: type that name" in bench.answer()
        assert desk.customer(job), "a word and Enter are an accident"
        await bench.press("backspace", *"ann", "enter")
        assert "customer details erased on request" in bench.painted()
        assert "The same name stands with job" in bench.answer()
        assert "Rosa" not in bench.painted()
        await bench.press("escape")
        assert "customer  details erased on request" in bench.painted()
    assert desk.verify() == []
    assert desk.customer(job) is None
