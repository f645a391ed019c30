"""The workshop that is sent hostile inputs: work in hand, a job that may be signed off, one full of hostile facts, and
a second terminal that says things meanwhile."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from reassembly.job import entries as said
from reassembly.job.plan import plan
from reassembly.record.demo.build import build
from reassembly.record.desk import SHOP_FACTS
from reassembly.record.press import Press
from tests.job.histories import made
from tests.record.camera import bomb, take

if TYPE_CHECKING:
    import random
    from pathlib import Path

    from reassembly.job.entries import Fact
    from reassembly.record.desk import Desk

_NOT_SAID = {said.CustomerNamed, said.SignedOff, said.DetailsErased, said.PhotoKept}
"""By the second terminal: whatever it says, nothing is signed off or erased by it, and no picture is missing."""
_ODD = [kind for kind in said.kinds() if kind not in _NOT_SAID]
_ROUNDS = 5


def furnish(folder: Path, chance: random.Random) -> None:
    """A demo workshop with pictures, of which some cannot be kept, and in half of them a printer that is not there."""
    build(folder, datetime.now(UTC))
    for n in range(12):
        take(folder / "photos-in" / f"{n}.jpg", shade=10 * n, width=240, height=160)
        (folder / "photos-in" / f"broken {n}.png").write_bytes(bomb(n * 4000, n * 4000))
    if chance.random() < 0.5:
        Press(folder).choose("gone", 203)


class Other:
    """The second terminal, at which ben is."""

    def __init__(self, desk: Desk, chance: random.Random) -> None:
        self._desk = desk
        self._chance = chance
        self._ready = ""
        self.odd = desk.open_new(said.JobOpened(vehicle="[/x]", registration="\u202eodd"))
        for _ in range(60):
            self._say_odd()

    def jobs(self) -> list[str]:
        """The jobs in hand, those signed off as well."""
        return [line.id for line in self._desk.jobs(limit=1000)]

    def ready(self) -> str:
        """A job in which every check is confirmed or excepted, so that nothing but its name is missing."""
        if not self._ready or any(self._desk.job(self._ready).said(said.SignedOff)):
            self._ready = self._desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881"))
            self._desk.say(said.PartRemoved(part="pan", name="gearbox pan"))
        for _ in range(_ROUNDS):
            still = plan(self._desk.job(self._ready)).open
            if not still:
                return self._ready
            reason = "by the second terminal"
            self._desk.say_all(
                [said.ExceptionAccepted(check=c.key, reason=reason, accepted_by="ben") for c in still], self._ready
            )
        raise AssertionError(f"cannot be excepted: {[c.wording for c in still]}")

    def say(self, job: str) -> None:
        """Something, at the job that is open at the first terminal or at another."""
        if not job or self._chance.random() < 0.5:
            self._say_odd()
            return
        here = self._desk.job(job)
        still, entry = plan(here).open, self._chance.choice(here.entries)
        facts: list[Fact] = [
            said.EntryStruck(entry=entry.id, why="slip"),
            said.PartRemoved(part=f"part {len(here.entries)}", name="heat shield"),
            said.FindingNoted(what="leaks"),
        ]
        if still:
            check = self._chance.choice(still).key
            facts += [
                said.CheckConfirmed(check=check),
                said.ExceptionAccepted(check=check, reason="pen dry", accepted_by="ben"),
            ]
        self._desk.say(self._chance.choice(facts), job)

    def _say_odd(self) -> None:
        kind = self._chance.choice(_ODD)
        fact = made(kind, self._chance, list(self._desk.job(self.odd).entries), hostile=True)
        self._desk.say(fact, "" if isinstance(fact, SHOP_FACTS) else self.odd)
