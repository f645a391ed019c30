"""The bench screen as the owner uses it: whose vehicle was it, and where is its record?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.record.customer import Customer
from tests.screens.bench import at_bench

if TYPE_CHECKING:
    from reassembly.record.desk import Desk

LONG = "drones at 60 to 80 km/h, goes late into second when cold, drips where it is parked"


async def test_whoever_looks_for_a_customer_reads_the_name_of_each(desk: Desk) -> None:
    for name, phone in (("Rosa Lind", "555 0101"), ("Rosa Lindqvist", "555 0102")):
        desk.open_new(said.JobOpened(vehicle="Kestrel van", complaint=LONG))
        desk.say(said.CustomerNamed(digest=""), details=Customer(name=name, phone=phone))
    async with at_bench(desk) as bench:
        assert "Rosa" not in bench.painted()
        await bench.press("slash")
        await bench.type("rosa")
        await bench.settled()
        assert all(f" {name}  drones" in bench.painted() for name in ("Rosa Lind", "Rosa Lindqvist"))
        assert "customer Rosa Lindqvist  555 0102" in bench.painted()
        await bench.press("down", "down")
        assert "customer Rosa Lind  555 0101" in bench.painted()
