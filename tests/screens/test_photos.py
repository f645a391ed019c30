"""Photos at the bench: one key keeps the newest with what is on display; all are looked at on the glass."""

from __future__ import annotations

import os
from functools import partial
from itertools import count
from threading import Event
from typing import TYPE_CHECKING

import pytest
from rich.console import Console

from reassembly.job import entries as said
from reassembly.job.entries import PhotoKept
from reassembly.record import photos
from reassembly.record.cards import CARDS
from reassembly.record.desk import Desk
from reassembly.record.printing import code_of
from reassembly.record.trouble import Trouble
from reassembly.record.watched import Watch
from reassembly.screens import keeping
from reassembly.screens.half_blocks import CONSOLE, PhotoView, half_blocks
from reassembly.screens.photos import PhotosScreen
from tests.record.camera import COLOURS, HEIC, take
from tests.screens.bench import Bench, at_bench
from tests.screens.hands import FLANGE, told
from tests.screens.terminal import ENTER, Terminal
from tests.screens.test_sizes import SIZES, looks_right

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from textual.strip import Strip


@pytest.fixture
def job(desk: Desk) -> Desk:
    desk.open_new(said.JobOpened(vehicle="Kestrel van", registration="4TN 881"))
    desk.say(said.PartRemoved(part="pan", name="gearbox pan"))
    desk.open_job = ""
    return desk


def inbox(desk: Desk, name: str = "IMG_1.jpg", shade: int = 0, **how: object) -> Path:
    """A picture that came from the phone; a later one is newer."""
    path = take(desk.path / "photos-in" / name, shade=shade, width=480, height=320, **how)
    os.utime(path, (path.stat().st_mtime + shade,) * 2)
    return path


def kept(desk: Desk) -> list[PhotoKept]:
    return [e.fact for e in desk.job(desk.jobs()[0].id).said(PhotoKept)]


async def says(bench: Bench, *words: str) -> None:
    await bench.until(lambda: all(word in bench.answer() for word in words), f"no {words} but {bench.answer()!r}")
    await bench.settled()


async def pictured(bench: Bench) -> PhotoView:
    await bench.until(lambda: "▀" in bench.painted(), "no picture")
    return bench.screen.query_one(PhotoView)


WAYS = {
    "strip-down": (("enter", "s"), "pan"),
    "a part": (("enter", "s", "f3"), "pan"),
    "a form about a part": (("enter", "s", "f3", "m"), "pan"),
    "refit": (("enter", "r"), "pan"),
    "the job": (("enter",), ""),
    "check-in": (("enter", "v"), ""),
    "sign-off": (("enter", "o"), ""),
    "the record": (("enter", "d"), ""),
}


@pytest.mark.parametrize("way", WAYS)
async def test_one_key_keeps_the_newest_with_what_is_on_display(job: Desk, way: str) -> None:
    inbox(job, "IMG_1.jpg")
    inbox(job, "IMG_2.jpg", shade=20, when="2026:03:14 16:50:09")
    keys, part = WAYS[way]
    async with at_bench(job) as bench:
        await bench.press(*keys)
        before = bench.on()
        await bench.press("f10")
        await says(bench, "kept: photo of", "F11 shows it: IMG_2.jpg, taken 2026-03-14 16:50, 480 x 320, 4 kB")
        assert bench.on() == before
        (fact,) = kept(job)
        assert fact.part == part
        assert fact.taken == "2026-03-14T16:50"
        assert photos.find(job.path, fact.digest)
        await bench.press("f10")
        await says(bench, "kept: photo of", "IMG_1.jpg")
        assert len(kept(job)) == 2
        await bench.press("f10")
        await says(bench, f"no new picture in {job.path / 'photos-in'}")
        assert len(kept(job)) == 2


async def test_a_line_half_typed_stays_as_it_is(job: Desk) -> None:
    inbox(job)
    async with at_bench(job) as bench:
        await bench.press("enter", "s")
        await bench.type("propshaft, 4 x M10")
        await bench.press("f10")
        await says(bench, "kept: photo of gearbox pan")
        assert "propshaft, 4 x M10" in bench.painted()


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Event:
    """No picture is kept before it is opened: as with a large one on a slow machine."""
    gate, keep = Event(), photos.keep

    def slowly(folder: Path, picture: Path) -> photos.Kept:
        assert gate.wait(10)
        return keep(folder, picture)

    monkeypatch.setattr(photos, "keep", slowly)
    return gate


async def test_while_one_is_kept_no_other_is_asked_for(job: Desk, gate: Event) -> None:
    inbox(job)
    inbox(job, "IMG_2.jpg", shade=20)
    async with at_bench(job) as bench:
        await bench.press("enter", "f10")
        await says(bench, "keeping IMG_2.jpg")
        await bench.press("f10")
        await says(bench, "a picture is on its way: wait until it is kept")
        gate.set()
        await says(bench, "kept: photo of", "IMG_2.jpg")
        assert len(kept(job)) == 1


async def test_whoever_asked_for_it_kept_it_whoever_came_meanwhile(job: Desk, gate: Event) -> None:
    inbox(job)
    async with at_bench(job) as bench:
        await bench.press("enter")
        bench.key("f10")
        await says(bench, "keeping IMG_1.jpg")
        job.who = "ben"
        gate.set()
        await says(bench, "kept: photo of")
        (entry,) = job.job().said(PhotoKept)
        assert (entry.who, job.who) == ("ann", "ben")


async def test_refit_says_how_many_photos_its_part_has_and_shows_them(desk: Desk) -> None:
    story = told(desk)
    inbox(desk)
    async with at_bench(desk) as bench:
        bench.app.screen.do("open_job", story.job)  # type: ignore[attr-defined]
        await bench.settled()
        await bench.press("r", "f10")
        await says(bench, f"kept: photo of {FLANGE}")
        assert "photo: 1, v shows" in bench.painted()
        inbox(desk, "IMG_2.jpg", shade=20)
        await bench.press("f10")
        await says(bench, "kept: photo of", "IMG_2.jpg")
        assert "photos: 2, v shows" in bench.painted()
        await bench.press("v")
        await pictured(bench)
        assert f"1 of 2   {FLANGE}" in bench.painted()
        await bench.press("escape", "right")
        assert "v shows" not in bench.painted()


@pytest.mark.parametrize(
    ("name", "data", "why"),
    [
        ("IMG.heic", HEIC, "set the phone to take JPEG. It was not kept."),
        ("IMG.jpg", b"\xff\xd8\xff\xe0 half", "It was not kept."),
        ("I\x1b[2JMG.jpg", b"", "is no picture in JPEG, PNG or WebP"),
    ],
)
async def test_what_cannot_be_kept_is_told_and_work_goes_on(job: Desk, name: str, data: bytes, why: str) -> None:
    inbox(job).with_name(name).write_bytes(data)
    os.utime(job.path / "photos-in" / "IMG_1.jpg", (2e9, 2e9))
    os.utime(job.path / "photos-in" / name, (3e9, 3e9))
    async with at_bench(job) as bench:
        await bench.press("enter", "f10")
        await says(bench, why)
        assert kept(job) == []
        assert "\x1b" not in bench.painted()
        await bench.press("f11")
        await bench.until(lambda: "NEW, NOT KEPT YET" in bench.painted())
        assert "\x1b" not in bench.painted()
        await bench.press("right")  # the one that can be kept
        await pictured(bench)
        await bench.press("space")
        await says(bench, "kept: photo of the vehicle, F11 shows it: IMG_1.jpg")
        assert len(kept(job)) == 1


async def test_a_picture_older_than_the_job_is_kept_only_by_somebody_who_looked_at_it(job: Desk) -> None:
    os.utime(inbox(job), (1_700_000_000, 1_700_000_000))
    async with at_bench(job) as bench:
        await bench.press("enter", "f10")
        await says(bench, "the newest picture, IMG_1.jpg, 2023-11-", "is older than this job: F11")
        assert kept(job) == []
        await bench.press("f11")
        await pictured(bench)
        await bench.press("space")
        await says(bench, "kept: photo of the vehicle")
        assert len(kept(job)) == 1


async def test_nobody_at_the_bench_keeps_no_photo(job: Desk) -> None:
    inbox(job)
    async with at_bench(job) as bench:
        await bench.press("enter")
        job.who = ""
        await bench.press("f10")
        assert "Nobody is at the bench" in bench.answer()
        assert kept(job) == []


async def test_help_and_the_list_of_keys_have_the_key_that_shows_them(job: Desk) -> None:
    async with at_bench(job, (80, 40)) as bench:
        await bench.press("enter", "question_mark")
        assert "F10          Photo" in bench.painted()
        assert "F11          Photos of this job" in bench.painted()
        await bench.press("escape", "ctrl+p")
        await bench.type("photos of")
        await bench.until(lambda: "Photos of this job" in bench.painted())
        await bench.press("enter")
        await bench.until(lambda: bench.on() == "PhotosScreen")


async def test_without_a_job_there_is_no_key_for_photos(job: Desk) -> None:
    inbox(job)
    async with at_bench(job) as bench:
        assert "F10" not in bench.painted()
        await bench.press("f10", "f11")
        assert bench.on() == "JobsScreen"
        assert kept(job) == []


# looked at


@pytest.fixture
def three(job: Desk) -> Desk:
    """Three photos, the second of the pan."""
    job.open_job = job.jobs()[0].id
    for n, part in enumerate(("", "pan", "")):
        found = photos.keep(job.path, take(job.path.parent / "card" / f"{n}.jpg", shade=20 * n, width=480, height=320))
        job.say(PhotoKept(digest=found.digest, source=found.source, part=part, taken="2026-03-14T16:50"))
    job.open_job = ""
    return job


async def test_the_photos_of_the_part_come_first_then_the_newest(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s", "f3", "f11")
        await pictured(bench)
        assert "1 of 3   gearbox pan" in bench.painted()
        assert "kept by ann 20" in bench.painted()
        assert "taken 2026-03-14 16:50" in bench.painted()
        await bench.press("right")
        assert "2 of 3   the whole vehicle" in bench.painted()
        await bench.press("left", "left")
        assert "3 of 3   the whole vehicle" in bench.painted()


async def test_cards_turn_to_a_new_picture_keep_it_and_leave(three: Desk) -> None:
    inbox(three, shade=60)
    card = {each.name: code_of(each) for each in CARDS.values()}
    async with at_bench(three) as bench:
        await bench.press("enter", "f11")
        await bench.until(lambda: "1 of 4" in bench.painted())
        await bench.scan(card["confirm"])
        assert bench.answer().startswith("this one is kept already")
        await bench.scan(card["back"])
        assert "4 of 4   NEW, NOT KEPT YET: IMG_1.jpg" in bench.painted()
        bench.app.clock = count(1e9, 0.5).__next__  # half a second from card to card
        await bench.scan(card["confirm"])
        await says(bench, "kept: photo of the vehicle")
        await bench.scan(card["leave"])
        await bench.until(lambda: bench.on() == "JobScreen")
        inbox(three, "IMG_2.jpg", shade=80)
        await bench.press("r")
        await bench.scan(card["photo"])
        await says(bench, "kept: photo of gearbox pan", "IMG_2.jpg")
        await bench.scan(card["photos"])
        await bench.until(lambda: "1 of 5   gearbox pan" in bench.painted())
        await bench.scan(card["photos"])
        assert bench.answer() == "SHOW PHOTOS read twice in a second: taken once"


async def test_what_a_photo_shows_is_said_and_it_is_struck_out_like_any_fact(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "s", "f3", "f11", "c")
        await bench.type("white paint on the flange")
        await bench.press("enter")
        assert "1 of 3   gearbox pan: white paint on the flange" in bench.painted()
        await bench.press("x")
        await bench.type("blurred")
        await bench.press("f8")
        assert "1 of 2   the whole vehicle" in bench.painted()
        assert len(kept(three)) == 2
        assert [e.fact.why for e in three.job(three.jobs()[0].id).said(said.EntryStruck)][-1] == "blurred"
        assert len(list((three.path / "photos").iterdir())) == 3  # what was struck out stays readable


async def test_a_photo_that_is_gone_or_altered_is_told_in_its_place(three: Desk) -> None:
    newest, pan, _ = (photos.find(three.path, fact.digest) for fact in reversed(kept(three)))
    assert newest
    assert pan
    newest.unlink()
    pan.write_bytes(take(three.path.parent / "forged.jpg").read_bytes())
    async with at_bench(three) as bench:
        await bench.press("enter", "f11")
        await bench.until(lambda: "is gone: bring it back from a backup" in " ".join(bench.painted().split()))
        await bench.press("right")
        await bench.until(lambda: "it was altered or is damaged" in " ".join(bench.painted().split()))


async def test_full_size_by_the_viewer_or_where_the_file_is(three: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    async with at_bench(three) as bench:
        await bench.press("enter", "f11", "o")
        assert str(three.path / "photos" / kept(three)[-1].digest) in bench.answer()


async def test_in_every_size_and_where_there_is_nothing_to_look_at(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "f11")
        for size in SIZES:
            await bench.resize(*size)
            view = await pictured(bench)
            looks_right(bench, size)
            await bench.until(partial(fits, view), "never fits")
    three.open_new(said.JobOpened(vehicle="Tallis van"))
    async with at_bench(three) as bench:
        await bench.press("enter", "f11")
        await bench.until(lambda: "no new picture in" in bench.painted())
        assert "no photo of this job" in bench.painted()


def lines_of(view: PhotoView) -> list[Strip]:
    return [view.render_line(y) for y in range(view.size.height)]


def dots(strips: list[Strip]) -> Iterator[tuple[int, ...]]:
    for strip in strips:
        for text, style, _ in strip:
            if style and "▀" in text:
                assert style.color
                assert style.bgcolor
                yield tuple(style.color.get_truecolor())
                yield tuple(style.bgcolor.get_truecolor())


def fits(view: PhotoView) -> bool:
    """As large as there is room, with square dots: 3 to 2."""
    strips = [strip for strip in lines_of(view) if "▀" in strip.text]
    if not strips:
        return False
    wide, high = strips[0].text.count("▀"), 2 * len(strips)
    full = wide == view.size.width or high >= 2 * view.size.height - 1
    return full and abs(wide / high - 1.5) < 0.2


async def test_the_picture_stands_upright_in_its_own_colours(job: Desk) -> None:
    inbox(job, orientation=6)
    async with at_bench(job) as bench:
        bench.app.console = Console(color_system="truecolor", force_terminal=True)
        await bench.press("enter", "f10")
        await says(bench, "kept: photo of")
        await bench.press("f11")
        lines = [line for line in lines_of(await pictured(bench)) if "▀" in line.text]
        for line, (left, right) in ((lines[2], COLOURS[:2]), (lines[-3], COLOURS[2:])):
            seen = list(dots([line]))
            assert all(abs(a - b) < 24 for a, b in zip(seen[0], left, strict=True)), seen
            assert all(abs(a - b) < 24 for a, b in zip(seen[-1], right, strict=True)), seen


@pytest.mark.parametrize("few", ["standard", None])
async def test_a_bare_console_gets_its_sixteen_colours(three: Desk, few: str | None) -> None:
    async with at_bench(three) as bench:
        bench.app.console = Console(color_system=few, force_terminal=True)  # type: ignore[arg-type]
        await bench.press("enter", "f11")
        found = set(dots(lines_of(await pictured(bench))))
        assert len(found) > 2
        assert found <= set(CONSOLE)


@pytest.mark.parametrize(("width", "height"), [(1, 1), (2, 3), (7, 1), (1, 9)])
def test_an_odd_number_of_rows_has_a_black_one_below(width: int, height: int) -> None:
    rows = [[(9 * y, 9 * x, 200) for x in range(width)] for y in range(height)]
    lines = half_blocks(rows)
    assert [line.cell_length for line in lines] == [width] * -(-height // 2)
    flat = [tuple(list(dots([line]))[half::2]) for line in lines for half in (0, 1)]
    assert flat == [*map(tuple, rows), *([((0, 0, 0),) * width] if height % 2 else [])]


@pytest.mark.parametrize(
    ("environment", "true_colours"),
    [
        ({"TERM": "xterm-256color", "COLORTERM": "truecolor"}, True),
        ({"TERM": "linux", "COLORTERM": ""}, False),
        ({"TERM": "linux", "COLORTERM": "", "NO_COLOR": "1"}, False),
    ],
    ids=["a window", "a bare console", "without colours"],
)
def test_a_photo_is_kept_and_shown_on_the_real_program(
    job: Desk, environment: dict[str, str], true_colours: bool
) -> None:
    inbox(job)
    with Terminal("-m", "reassembly", "--data", str(job.path), size=(80, 24), **environment) as terminal:
        terminal.shows("Kestrel van", "Open")
        terminal.send(ENTER)
        terminal.shows("Strip-down: what came off")
        terminal.send("\x1b[21~")  # F10
        terminal.shows("kept: photo of the vehicle, F11 shows it: IMG_1.jpg")
        before = len(terminal.raw)
        terminal.send("\x1b[23~")  # F11
        terminal.shows("1 of 1   the whole vehicle", "▀▀▀")
        assert (b"38;2;" in terminal.raw[before:]) is true_colours


# noticed


async def test_a_picture_that_comes_is_offered_once_beside_the_last_answer(
    job: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(keeping, "EVERY", 0.02)
    looked: list[int] = []
    changed = Watch.changed

    def look(watch: Watch) -> bool:
        looked.append(1)
        return changed(watch)

    monkeypatch.setattr(Watch, "changed", look)
    async with at_bench(job) as bench:
        await bench.press("enter")
        bench.screen.answer("kept: the words", "kept")  # type: ignore[attr-defined]
        await bench.until(lambda: len(looked) > 1)
        inbox(job)
        await says(bench, "kept: the words   new picture: IMG_1.jpg, 20", "kB; F10 keeps it")
        bench.screen.answer("kept: more words", "kept")  # type: ignore[attr-defined]
        done = len(looked)
        await bench.until(lambda: len(looked) > done + 2)
        assert bench.answer() == "kept: more words"
        bench.screen.answer("TOO EARLY", "warn")  # type: ignore[attr-defined]
        inbox(job, "IMG_2.jpg", shade=20)
        done = len(looked)
        await bench.until(lambda: len(looked) > done + 2)
        assert bench.answer() == "TOO EARLY"


async def test_a_picture_that_comes_while_the_journal_cannot_be_read_ends_nothing(
    job: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def cannot(_: Desk) -> set[str]:
        asked.append(1)
        raise Trouble("The disk does not answer.")

    asked: list[int] = []
    monkeypatch.setattr(keeping, "EVERY", 0.02)
    monkeypatch.setattr(Watch, "changed", lambda _: True)
    monkeypatch.setattr(Desk, "photo_sources", cannot)
    async with at_bench(job) as bench:
        await bench.press("enter")
        await bench.until(lambda: asked != [])
        await bench.press("s")
        assert bench.on() == "StripdownScreen"


async def test_going_back_after_a_power_cut_the_same_photo_is_on_display(three: Desk) -> None:
    async with at_bench(three) as bench:
        await bench.press("enter", "f11", "right")
        screen = bench.screen
        assert isinstance(screen, PhotosScreen)
        left = screen.keeps()
        assert screen.way
        assert screen.way.action == ("photos",)
        await bench.press("escape", "f11")
        again = bench.screen
        assert isinstance(again, PhotosScreen)
        assert again.keeps() != left
        again.take_up(left)
        again.refresh_all()
        assert again.keeps() == left
