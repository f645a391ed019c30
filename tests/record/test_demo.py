"""The demo holds everything the main job has to hold, and meets each of it again as a check."""

import dataclasses
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

import pytest
import zxingcpp

from reassembly.job import entries as said
from reassembly.job.checks import Check, closed
from reassembly.job.doubts import doubts
from reassembly.job.job import Job
from reassembly.job.plan import plan
from reassembly.job.signoff import Signoff, accepted, signoff
from reassembly.record.cards import CARDS, TEST
from reassembly.record.demo import gearbox
from reassembly.record.demo.build import HALF_REFITTED_TO, Jobs, Scene, build, play, print_for_scanner
from reassembly.record.demo.person import Person, WallClock
from reassembly.record.demo.refit import refit
from reassembly.record.desk import Desk
from reassembly.record.printing import code_of
from reassembly.record.proof import verify
from reassembly.trade.identity import read_vin
from tests.labels.test_sheet import rendered

NOW = datetime(2026, 6, 10, 16, 55, tzinfo=UTC)


class Played(NamedTuple):
    """The played job as it stood at each scene."""

    jobs: dict[Scene, Job]
    warned: Signoff
    desk: Desk


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Played]:
    folder = tmp_path_factory.mktemp("played")
    jobs: dict[Scene, Job] = {}
    for scene, desk, job in play(folder, NOW):
        jobs[scene] = desk.job(job)
        if scene is Scene.FORGOTTEN:
            warned = signoff(desk.job(job), desk.shop())
    with Desk.open(folder) as desk:
        yield Played(jobs, warned, desk)


@pytest.fixture(scope="module")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Desk, Jobs]]:
    folder = tmp_path_factory.mktemp("workshop")
    jobs = build(folder, NOW)
    with Desk.open(folder) as desk:
        yield desk, jobs


# What the main job has to hold, and the check that meets it again: part ("" is the whole job), words of the check.
HELD = {
    "complaint": ("", "complaint gone"),
    "road test before work": ("", "same road test again"),
    "codes before work": ("", "codes cleared in gearbox control"),
    "leak found, and where": ("", "at the connector sleeve, right rear of the pan"),
    "second leak": ("", "below the pinion flange"),
    "shaft and flange marked before parting": ("propshaft, rear flange", "made before parting"),
    "locking piece that balances, its hole": ("propshaft, rear flange", "14 g locking plate at hole 1"),
    "the other one, its own hole": ("propshaft, rear flange", "6 g locking plate at hole 3"),
    "crossmember swung aside": ("crossmember", "swung back in place"),
    "tie that holds the joint": ("propshaft, front joint", "wire round the joint out again"),
    "stuck part cleaned": ("centre bearing", "rust and dirt off"),
    "stuck part greased for next time": ("centre bearing", "greased so that it comes off next time"),
    "slots face forward": ("centre bearing", "slots in the rubber face front"),
    "yoke on its tooth": ("sliding yoke", "tooth 7 of 28 seen from the rear to the mark"),
    "new joint": ("universal joint, rear", "new universal joint on hand"),
    "grease nipple where a gun reaches": ("universal joint, rear", "where a grease gun can reach it"),
    "pan of another kind": ("gearbox pan", "new gearbox pan, pressed steel kind on hand"),
    "its own bolts": ("gearbox pan", "13 new bolts on hand"),
    "magnet at its place": ("pan magnets", "magnet at the ridge left of the drain"),
    "gasket holes looked at": ("gearbox pan", "gasket holes all open"),
    "sleeve with oiled seals": ("connector sleeve", "greased or oiled: both sleeve seals"),
    "lug in the slot at a clock position": ("connector sleeve", "lug faces into the slot, at 4 o'clock"),
    "lock home, click felt": ("connector sleeve", "lock pushed home, click felt"),
    "filter O-ring": ("oil filter", "new filter O-ring fitted"),
    "filter locating pins": ("oil filter", "both locating pins in their holes"),
    "sealing face of the gearbox": ("gearbox pan", "clean: sealing face of the gearbox"),
    "sealing face of the pan": ("gearbox pan", "clean: sealing face of the pan"),
    "pan bolts started by hand": ("gearbox pan", "all 13 new bolts started by hand"),
    "connector someone forgets": (gearbox.FORGOTTEN, "connected again"),
    "fluid filled": ("", "automatic fluid filled"),
    "level in its window, engine running": ("", "35 degC to 45 degC, engine running"),
    "plugs nobody touched": ("", "drain and filler plugs of transfer case and rear axle"),
    "crossmember once more": ("", "the crossmember once more"),
    "road test after": ("", "road test after the work"),
    "codes read again": ("", "codes read again in gearbox control"),
}  # fmt: skip


def met(job: Job, part: str, words: str) -> list[Check]:
    return [c for c in plan(job).checks if c.part == part and words in f"{c.wording}, {c.detail}"]


@pytest.mark.parametrize(("part", "words"), HELD.values(), ids=HELD.keys())
def test_what_was_recorded_is_asked_at_refit_and_answered(played: Played, part: str, words: str) -> None:
    asked = met(played.jobs[Scene.STRIPPED], part, words)
    assert [c.state for c in asked] == ["open"] * len(asked) != []
    assert {c.state for c in met(played.jobs[Scene.SIGNED_OFF], part, words)} == {"confirmed"}


def test_twenty_parts_and_each_is_a_step(played: Played) -> None:
    stripped = played.jobs[Scene.STRIPPED]
    assert len(plan(stripped).steps) == len(list(stripped.said(said.PartRemoved))) == 20


def test_sign_off_names_the_forgotten_connector_and_nothing_else(played: Played) -> None:
    assert {check.part for check in played.warned.open} == {gearbox.FORGOTTEN}
    assert "connected again" in {check.wording for check in played.warned.open}
    assert not played.warned.may_close
    assert closed(played.jobs[Scene.FORGOTTEN]) is None


def test_sign_off_warns_of_the_wrench_out_of_calibration(played: Played) -> None:
    assert [w for w in played.warned.warnings if "T2 was out of calibration" in w and "centre bearing bracket" in w]


def test_after_the_connector_the_job_is_signed_off_with_nothing_open(played: Played) -> None:
    job = played.jobs[Scene.SIGNED_OFF]
    done = signoff(job, played.desk.shop())
    assert done.closed is not None
    assert (done.open, done.since) == ((), ())
    assert closed(job) == job.entries[-1]


def test_pan_bolts_are_all_started_before_one_is_tightened(played: Played) -> None:
    job = played.jobs[Scene.SIGNED_OFF]
    (specified,) = [e for e in job.said(said.TorqueSpecified) if e.fact.part == "gearbox pan"]
    (started,) = met(job, "gearbox pan", "started by hand")
    tightened = [e for e in job.said(said.StageTightened) if e.fact.specification == specified.id]
    assert started.answer is not None
    assert started.answer.order < min(e.order for e in tightened)
    assert [e.fact.position for e in tightened if e.fact.stage == 3] == list(range(1, 14))


def test_a_flange_is_tightened_in_the_order_of_the_manual(played: Played) -> None:
    job = played.jobs[Scene.SIGNED_OFF]
    (specified,) = [e for e in job.said(said.TorqueSpecified) if e.fact.part == "propshaft, rear flange"]
    tightened = [e.fact for e in job.said(said.StageTightened) if e.fact.specification == specified.id]
    assert [(t.stage, t.position) for t in tightened] == [(s, p) for s in (1, 2) for p in (1, 3, 2, 4)]


def test_record_says_which_stages_were_tightened_at_once(played: Played) -> None:
    positions = [e.fact.position for e in played.jobs[Scene.SIGNED_OFF].said(said.StageTightened)]
    assert None in positions
    assert 1 in positions


def test_fluid_went_in_by_stages_that_add_up(played: Played) -> None:
    job = played.jobs[Scene.SIGNED_OFF]
    (filled,) = met(job, "", "automatic fluid filled")
    assert filled.answer is not None
    assert filled.answer.fact.value == "3.2 l + 1.1 l + 0.5 l + 0.3 l = 5.1 l of 5.1 l drained"
    phases = [e.fact.phase for e in job.said(said.FluidFilled)]
    assert phases == ["standing", "engine started", "through the positions", "running"]


def test_level_taken_too_cool_did_not_count(played: Played) -> None:
    (level,) = met(played.jobs[Scene.SIGNED_OFF], "", "automatic fluid level right")
    assert level.answer is not None
    assert (level.answer.fact.temperature, level.answer.fact.engine) == ("41 degC", "running")


def test_codes_were_read_again_after_they_were_cleared_and_driven(played: Played) -> None:
    after = [e.fact for e in played.jobs[Scene.SIGNED_OFF].entries]
    kinds = [type(f).__name__ for f in after if getattr(f, "when", "after") == "after"]
    assert kinds.index("CodesCleared") < kinds.index("RoadTested") < kinds.index("CodeRead")


def test_safety_critical_work_was_looked_at_by_another_person(played: Played) -> None:
    second = [c for c in plan(played.jobs[Scene.SIGNED_OFF]).checks if c.way == "second"]
    assert len(second) == 2
    for check in second:
        assert check.answer is not None
        assert check.answer.who == "ann"


def test_renewed_parts_have_their_batch(played: Played) -> None:
    received = [e.fact for e in played.jobs[Scene.SIGNED_OFF].said(said.RenewalReceived) if e.fact.part_number]
    assert received
    assert all(fact.batch for fact in received)


def test_nothing_in_the_demo_would_be_refused_at_a_screen(workshop: tuple[Desk, Jobs], played: Played) -> None:
    for desk in (workshop[0], played.desk):
        shop, people = desk.shop(), desk.journal.people()
        for job in ("", *(line.id for line in desk.jobs())):
            entries = desk.journal.read(job)
            for n, entry in enumerate(entries):
                found = doubts(entry.fact, Job.of(entries[:n], people), shop, who=entry.who, today=entry.time[:10])
                assert [d for d in found if d.refuses] == [], entry.fact


def test_workshop_has_one_job_half_stripped(workshop: tuple[Desk, Jobs]) -> None:
    desk, jobs = workshop
    steps = plan(desk.job(jobs.half_stripped)).steps
    assert steps
    assert not any(step.done for step in steps)


def test_workshop_has_one_job_half_refitted(workshop: tuple[Desk, Jobs]) -> None:
    desk, jobs = workshop
    states = {step.part.id: step.state for step in plan(desk.job(jobs.half_refitted)).steps}
    done = [part for part, state in states.items() if state == "done"]
    assert list(states)[: len(done)] == done
    assert 8 <= len(done) <= 12
    assert states[HALF_REFITTED_TO] == "ready"


def test_workshop_has_one_job_signed_off_a_year_ago_with_an_exception(workshop: tuple[Desk, Jobs]) -> None:
    desk, jobs = workshop
    old = signoff(desk.job(jobs.signed_off), desk.shop())
    assert old.closed is not None
    assert datetime.fromisoformat(old.closed.time) - NOW < timedelta(days=-360)
    assert [accepted(check)[1] for check in old.excepted] == ["joss"]


def test_a_wrench_that_failed_since_is_named_at_the_old_job(workshop: tuple[Desk, Jobs]) -> None:
    desk, jobs = workshop
    old = signoff(desk.job(jobs.signed_off), desk.shop())
    assert any("T4" in warning for warning in old.warnings)


def test_the_old_customer_is_back_with_the_same_van(workshop: tuple[Desk, Jobs]) -> None:
    desk, jobs = workshop
    back, old = desk.job(jobs.half_stripped).opened, desk.job(jobs.signed_off).opened
    assert back.earlier == jobs.signed_off
    assert (back.vin, back.registration) == (old.vin, old.registration)
    assert {line.id for line in desk.jobs("7kd204")} == {jobs.half_stripped, jobs.signed_off}


def test_everything_was_said_before_now_and_the_journal_is_whole(workshop: tuple[Desk, Jobs]) -> None:
    desk, _ = workshop
    times = [
        datetime.fromisoformat(e.time) for job in ("", *(li.id for li in desk.jobs())) for e in desk.journal.read(job)
    ]
    assert max(times) < NOW
    assert verify(desk.journal) == []


def test_invented_vehicles_have_a_vin_that_checks(workshop: tuple[Desk, Jobs]) -> None:
    desk, jobs = workshop
    for job in jobs:
        assert read_vin(desk.job(job).opened.vin).doubts == ()


def test_what_is_said_decides_what_is_asked(tmp_path: Path) -> None:
    """Nothing is canned: without one of its facts the same story asks for less, and a slip in an answer stops it."""
    with Desk.open(tmp_path, now=WallClock(NOW)) as desk:
        desk.who = "ann"
        job = desk.open_new(gearbox.VEHICLE)
        ann, ben = (Person(who, desk, job, lambda: "") for who in ("ann", "ben"))
        gearbox.check_in(ann)
        codes = list(desk.job(job).said(said.CodeRead))
        assert len(met(desk.job(job), "", "codes read again")) == 2
        desk.say(said.EntryStruck(entry=codes[0].id, why="another vehicle's"))
        assert len(met(desk.job(job), "", "codes read again")) == 1
        answers = dataclasses.replace(gearbox.answers(ben, ann), drive=said.RoadTested(when="before"))
        with pytest.raises(AssertionError, match="not answered: road test after the work"):
            refit(answers)


def test_the_demo_prints_what_a_scanner_needs(workshop: tuple[Desk, Jobs], tmp_path: Path) -> None:
    """Cards, and a badge, tag or label of each person, wrench and shelf; every bag is on a shelf that has one."""
    desk, jobs = workshop
    shop = desk.shop()
    read = []
    for path in print_for_scanner(desk, NOW):
        (folder := tmp_path / path.stem).mkdir()
        pages = rendered(path.read_bytes(), folder, 300)
        read.append({found.text for page in pages for found in zxingcpp.read_barcodes(page)})
    cards, papers = read
    assert cards == {code_of(card) for card in CARDS.values() if card is not TEST}
    people = {p.badge for p in shop.people.values()}
    assert papers == people | {w.added.tag for w in shop.rack.values()} | {s.label for s in shop.shelves.values()}
    assert len(papers) == 3 + 4 + 6
    used = {e.fact.shelf for job in jobs for e in desk.job(job).said(said.BagPacked)}
    assert used - {""} <= set(shop.shelves)
