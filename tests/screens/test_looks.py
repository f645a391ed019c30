"""How every screen looks, over the demo workshop at a fixed minute: each picture was looked at before it was kept.

A picture says only that nothing changed unseen; the rules behind it have tests of their own. After a change that was
meant: `python -m pytest tests/screens/test_looks.py --snapshot-update`, and look at what git says has changed.
"""

from __future__ import annotations

import secrets
import shutil
import time
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, NamedTuple

import pytest

from reassembly.job import entries as said
from reassembly.job.bag import bags
from reassembly.job.plan import plan
from reassembly.record import settings, writing
from reassembly.record.demo.build import Jobs, build
from reassembly.record.desk import Desk
from reassembly.record.printing import new_code
from reassembly.record.settings import Settings
from reassembly.screens.app import ReassemblyApp
from reassembly.screens.job import JobScreen
from reassembly.screens.refit import RefitScreen
from reassembly.screens.themes import CONTRAST, DAYLIGHT
from reassembly.screens.tighten import TightenScreen
from tests.screens.bench import Bench

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Iterator

    from textual.pilot import Pilot

    from reassembly.screens.frame import Frame

DRAWN_WITH = "8.2.8"
pytestmark = pytest.mark.skipif(
    version("textual") != DRAWN_WITH,
    reason=f"the pictures were drawn with Textual {DRAWN_WITH}; another draws a little otherwise: draw and look anew",
)

NOW = datetime(2026, 3, 14, 16, 55, tzinfo=UTC)
WIDE, SMALL, LARGE = (80, 24), (50, 15), (100, 30)


class Shop(NamedTuple):
    """A demo workshop of a test's own, with somebody at the bench."""

    desk: Desk
    jobs: Jobs


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Jobs]]:
    """The same letters, salts and times at every run."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", "UTC")
        time.tzset()
        patch.setattr(writing, "secrets", SimpleNamespace(choice=lambda free: free[0]))
        patch.setattr(secrets, "token_hex", lambda count: "5a" * count)
        folder = tmp_path_factory.mktemp("looks") / "shop"
        yield folder, build(folder, NOW)
    time.tzset()


@pytest.fixture
def shop(built: tuple[Path, Jobs], tmp_path: Path) -> Iterator[Shop]:
    folder = Path(shutil.copytree(built[0], tmp_path / "shop"))
    with Desk.open(folder, who="ann", now=lambda: int(NOW.timestamp()) * 10**9, trusted=lambda: True) as desk:
        yield Shop(desk, built[1])


def named(name: str) -> str:
    """As part of the name of a file."""
    return name.replace(",", "").replace(" ", "-")


def at(shop: Shop, job: str, *keys: str, screen: Callable[[], Frame] = JobScreen) -> Play:
    """Open a job at a screen and press keys; what begins with = is typed."""

    async def play(bench: Bench) -> None:
        shop.desk.open_job = job
        bench.app.push_screen(screen())
        await bench.settled()
        await pressed(bench, *keys)

    return play


def from_bench(*keys: str) -> Play:
    async def play(bench: Bench) -> None:
        await pressed(bench, *keys)

    return play


async def pressed(bench: Bench, *keys: str) -> None:
    for key in keys:
        await (bench.type(key[1:]) if key.startswith("=") else bench.press(key))


def at_check(shop: Shop, job: str, wording: str, *keys: str) -> Play:
    shop.desk.open_job = job
    key = next(check.key for check in plan(shop.desk.job()).checks if wording in check.wording)
    return at(shop, job, *keys, screen=lambda: RefitScreen(key))


def at_joint(shop: Shop, job: str, part: str) -> Play:
    specified = next(e for e in shop.desk.job(job).said(said.TorqueSpecified) if e.fact.part == part)
    return at(shop, job, screen=lambda: TightenScreen(specified.id))


def scanned(shop: Shop, job: str, code: str) -> Play:
    async def play(bench: Bench) -> None:
        await at(shop, job, screen=RefitScreen)(bench)
        await bench.scan(code)

    return play


def packed(shop: Shop, job: str, part: str) -> str:
    """The letters of a bag that is packed for a part now."""
    code = new_code(shop.desk)
    shop.desk.say(said.BagPacked(bag=code, parts=(part,), shelf="C3"), job=job)
    return code


def bag_of(shop: Shop, job: str, part: str = "") -> str:
    """The letters of the first bag, or of the first that holds a part."""
    every = bags(shop.desk.job(job)).values()
    return next(bag.code for bag in every if not part or part in bag.packed.fact.parts)


if TYPE_CHECKING:
    Play = Callable[[Bench], Awaitable[None]]
    Compare = Callable[..., bool]


def looks(compare: Compare, shop: Shop, size: tuple[int, int], play: Play) -> bool:
    async def run(pilot: Pilot[None]) -> None:
        app = pilot.app
        assert isinstance(app, ReassemblyApp)
        bench = Bench(app, pilot)
        await bench.settled()
        await play(bench)
        await bench.settled()

    return compare(ReassemblyApp(shop.desk), terminal_size=size, run_before=run)


TYPED = "crossmember, left aside 3 x M12x1.75x60 10.9 110 N.m"
SCREENS: dict[str, Callable[[Shop], Play]] = {
    "bench": lambda s: from_bench(),
    "bench, found by registration": lambda s: from_bench("slash", "=7kd"),
    "who": lambda s: from_bench("p"),
    "check-in": lambda s: from_bench("n"),
    "labels": lambda s: from_bench("l"),
    "workshop": lambda s: from_bench("w"),
    "settings": lambda s: from_bench("w", "e"),
    "keys": lambda s: from_bench("question_mark"),
    "job taken apart": lambda s: at(s, s.jobs.half_stripped),
    "job half way back": lambda s: at(s, s.jobs.half_refitted),
    "job signed off": lambda s: at(s, s.jobs.signed_off),
    "job facts": lambda s: at(s, s.jobs.half_refitted, "v"),
    "strip-down": lambda s: at(s, s.jobs.half_stripped, "s"),
    "strip-down, typing": lambda s: at(s, s.jobs.half_stripped, "s", f"={TYPED}"),
    "part": lambda s: at(s, s.jobs.half_stripped, "s", "f3"),
    "form": lambda s: at(s, s.jobs.half_stripped, "s", "f3", "b"),
    "bags": lambda s: at(s, s.jobs.half_refitted, "b"),
    "refit": lambda s: at(s, s.jobs.half_refitted, "r"),
    "refit, all steps": lambda s: at(s, s.jobs.half_refitted, "r", "l"),
    "refit, have ready": lambda s: at(s, s.jobs.half_refitted, "r", "h"),
    "refit, clock": lambda s: at_check(s, s.jobs.half_refitted, "grease nipple"),
    "refit, spline": lambda s: at_check(s, s.jobs.half_refitted, "tooth 7"),
    "refit, flange": lambda s: at_check(s, s.jobs.half_refitted, "14 g"),
    "tighten": lambda s: at_joint(s, s.jobs.half_refitted, "propshaft, rear flange"),
    "workings": lambda s: at_check(s, s.jobs.half_refitted, "14 g", "f6"),
    "sign-off": lambda s: at(s, s.jobs.half_refitted, "o"),
    "sign-off, closed": lambda s: at(s, s.jobs.signed_off, "o"),
    "record": lambda s: at(s, s.jobs.signed_off, "d"),
    "beside the earlier job": lambda s: at(s, s.jobs.half_stripped, "e"),
    "recall": lambda s: from_bench("w", "r"),
}  # fmt: skip


@pytest.mark.parametrize("name", SCREENS, ids=named)
def test_every_screen_at_80_by_24(snap_compare: Compare, shop: Shop, name: str) -> None:
    assert looks(snap_compare, shop, WIDE, SCREENS[name](shop))


DIRTY_HANDS: dict[str, Callable[[Shop], Play]] = {
    "job half way back": SCREENS["job half way back"],
    "refit": SCREENS["refit"],
    "refit, flange": SCREENS["refit, flange"],
    "have ready": SCREENS["refit, have ready"],
    "tighten": SCREENS["tighten"],
    "FIT NOW": lambda s: scanned(s, s.jobs.half_refitted, packed(s, s.jobs.half_refitted, "propshaft, front joint")),
    "TOO EARLY": lambda s: scanned(s, s.jobs.half_refitted, bag_of(s, s.jobs.half_refitted, "propshaft, rear flange")),
    "ANOTHER VEHICLE": lambda s: scanned(s, s.jobs.half_refitted, bag_of(s, s.jobs.half_stripped)),
    "NOT OURS": lambda s: scanned(s, s.jobs.half_refitted, "4006381333931"),
}


@pytest.mark.parametrize("name", DIRTY_HANDS, ids=named)
def test_the_screens_of_dirty_hands_at_50_by_15(snap_compare: Compare, shop: Shop, name: str) -> None:
    assert looks(snap_compare, shop, SMALL, DIRTY_HANDS[name](shop))


@pytest.mark.parametrize("name", ["strip-down, typing", "refit, flange", "tighten"], ids=named)
def test_with_more_room(snap_compare: Compare, shop: Shop, name: str) -> None:
    assert looks(snap_compare, shop, LARGE, SCREENS[name](shop))


@pytest.mark.parametrize("look", [DAYLIGHT, CONTRAST], ids=named)
def test_in_every_look(snap_compare: Compare, shop: Shop, look: str) -> None:
    settings.write(shop.desk.path, Settings(look=look))
    assert looks(snap_compare, shop, WIDE, SCREENS["refit, flange"](shop))


LONG = "propeller shaft, centre bearing bracket with rubber and shield, " * 3


@pytest.mark.parametrize("screen", ["s", "r", "o"], ids=["strip-down", "refit", "sign-off"])
def test_with_long_names_and_many_parts(snap_compare: Compare, shop: Shop, screen: str) -> None:
    job = shop.desk.open_new(said.JobOpened(vehicle=LONG, registration="7KD 204 LONG", complaint=LONG))
    for n in range(40):
        shop.desk.say(said.PartRemoved(part=f"part {n}", name=f"{LONG}{n}", note=LONG))
    assert looks(snap_compare, shop, WIDE, at(shop, job, screen))


@pytest.mark.parametrize("screen", ["s", "b", "r", "o", "d"], ids=["strip-down", "bags", "refit", "sign-off", "record"])
def test_with_nothing_said_yet(snap_compare: Compare, shop: Shop, screen: str) -> None:
    job = shop.desk.open_new(said.JobOpened(vehicle="Kestrel van"))
    assert looks(snap_compare, shop, WIDE, at(shop, job, screen))


def drawn() -> Iterator[str]:
    for test, function in globals().items():
        for mark in getattr(function, "pytestmark", ()):
            ids = mark.kwargs["ids"]
            for each in map(ids, mark.args[1]) if callable(ids) else ids:
                yield f"{test}[{each}].svg"


def test_no_picture_is_kept_that_no_screen_is_compared_with() -> None:
    """syrupy tells of one that is left over only where all tests run in one process."""
    kept = Path(__file__).parent / "__snapshots__" / Path(__file__).stem
    assert {picture.name for picture in kept.iterdir()} == set(drawn())
