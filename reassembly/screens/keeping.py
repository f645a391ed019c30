"""New pictures, noticed and kept in threads of their own: no key ever waits for a card or for a large picture."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from threading import Event, Thread
from typing import TYPE_CHECKING

from reassembly.job.entries import PhotoKept
from reassembly.job.job import part_in, parts
from reassembly.record import photos, settings
from reassembly.record.desk import NOBODY
from reassembly.record.trouble import Trouble
from reassembly.record.watched import Waiting, Watch, size, written
from reassembly.screens.frame import Frame

if TYPE_CHECKING:
    from collections.abc import Callable

    from reassembly.job.entries import Entry
    from reassembly.job.job import Job
    from reassembly.job.notation import Notation
    from reassembly.record.photos import Kept
    from reassembly.screens.app import ReassemblyApp

EVERY = 3.0
"""Seconds between two looks at the watched folders. Only the time of their last change is asked for."""

KEEPS, SHOWS = "F10", "F11"


class Keeping:
    """One picture at a time is kept, for what was on display when it was asked for."""

    def __init__(self, app: ReassemblyApp, named: str) -> None:
        """`named` is the folder that pictures come to; empty for the one of the settings, else for the usual one."""
        with suppress(Trouble):  # told when the scanner's keys are read from the same file
            named = named or settings.read(app.desk.path).photos
        self.watch = Watch(app.desk.path, named)
        self._app = app
        self._busy = False
        self._offered = ""
        self._stop = Event()

    def begin(self) -> None:
        Thread(target=self._notice, daemon=True, name="pictures").start()

    def stop(self) -> None:
        self._stop.set()

    def _notice(self) -> None:
        while not self._stop.wait(EVERY):
            if self.watch.changed() and not self._stop.is_set():
                with suppress(RuntimeError):  # the program has ended meanwhile
                    self._app.call_later(self._something_came)

    def _something_came(self) -> None:
        """Offer the newest, once, beside what was answered last."""

        def came(found: object) -> None:
            if not isinstance(found, list) or not found or found[0].source == self._offered:
                return
            screen, answered = self._app.screen, self._app.answered
            if isinstance(screen, Frame) and screen.takes_photos and answered.manner in {"told", "kept"}:
                self._offered = found[0].source
                new = f"new picture: {in_words(found[0], self._app.notation)}; {KEEPS} keeps it"
                self._app.answer("   ".join(w for w in (answered.words, new) if w), answered.manner)
                screen.show_answer()

        if not self._busy:
            with suppress(Trouble):  # whatever is done next tells it
                self.look(came, most=1)

    def look(
        self,
        then: Callable[[object], None],
        *,
        most: int,
        progress: Callable[[int, int], None] = lambda _done, _all: None,
    ) -> None:
        """Go on with the newest pictures that wait (a list of Waiting), or with the Trouble there was."""
        known = self._app.desk.photo_sources()
        self._app.sending.aside(lambda: self.watch.look(known, progress, most), then)

    def newest(self, frame: Frame) -> None:
        """Keep the newest picture with what is on display."""
        if not self._may():
            return
        job, part = frame.job, on_display(self._app)

        def found(several: object) -> None:
            self._busy = False
            if isinstance(several, Trouble):
                self._tell(str(several), "trouble")
            elif isinstance(several, Exception):
                raise several
            elif not several:
                self._tell(self.no_picture, "warn")
            else:
                assert isinstance(several, list)
                if older_than(several[0], job):
                    older = f"{in_words(several[0], self._app.notation)}, is older than this job"
                    self._tell(f"the newest picture, {older}: {SHOWS} shows it and can keep it", "warn")
                else:
                    self.keep(several[0], job, part)

        self.look(found, most=1)
        self._busy = True
        self._tell("looking for the newest picture")

    def keep(
        self, picture: Waiting, job: Job, part: str, then: Callable[[Entry[PhotoKept]], None] = lambda _entry: None
    ) -> None:
        """Keep one picture with a part of a job, with the job itself where that is empty; then say so."""
        if not self._may():
            return
        self._busy = True
        self._tell(f"keeping {picture.path.name}")
        desk, who = self._app.desk, self._app.desk.who

        def kept(found: object) -> None:
            self._busy = False
            try:
                if isinstance(found, Exception):
                    raise found
                assert isinstance(found, photos.Kept)
                fact = PhotoKept(digest=found.digest, source=found.source, part=part, taken=found.taken)
                with desk.in_the_name_of(who):  # whoever asked for it, whoever came meanwhile
                    entry = desk.say(fact, job.id)
            except Trouble as trouble:
                self._tell(str(trouble), "trouble")
                return
            self._offered = ""
            self._tell(
                f"kept: photo of {_of(job, part)}, {SHOWS} shows it: {_told(picture, found, self._app.notation)}",
                "kept",
            )
            then(entry)

        self._app.sending.aside(lambda: photos.keep(desk.path, picture.path), kept)

    @property
    def no_picture(self) -> str:
        """That nothing waits, and where it was looked for."""
        return f"no new picture in {' and '.join(map(str, self.watch.places))}"

    def _may(self) -> bool:
        if self._busy:
            self._tell("a picture is on its way: wait until it is kept", "warn")
        elif not self._app.desk.who:
            self._tell(NOBODY, "warn")
        return not self._busy and bool(self._app.desk.who)

    def _tell(self, words: str, manner: str = "told") -> None:
        self._app.answer(words, manner)
        if isinstance(self._app.screen, Frame):
            self._app.screen.refresh_all()


def on_display(app: ReassemblyApp) -> str:
    """The part that a screen is about, the topmost first; empty where none is."""
    frames = (screen for screen in reversed(app.screen_stack) if isinstance(screen, Frame))
    return next((part for frame in frames if (part := frame.part_on_display())), "")


def older_than(picture: Waiting, job: Job) -> bool:
    """Whether the file was written before the day on which the job was opened: then it shows another vehicle."""
    opened = job.entries[0].time[:10] if job.entries else ""
    return datetime.fromtimestamp(picture.written).astimezone().date().isoformat() < opened


def _of(job: Job, part: str) -> str:
    return part_in(parts(job), part).name if part else "the vehicle"


def in_words(picture: Waiting, notation: Notation) -> str:
    """IMG_1.jpg, 2026-03-14 16:50, 3.1 MB, as this bench writes dates and numbers."""
    return f"{picture.path.name}, {notation.dated(written(picture))}, {notation.computed(size(picture.size))}"


def _told(picture: Waiting, kept: Kept, notation: Notation) -> str:
    when = f"taken {notation.minute(kept.taken)}" if kept.taken else notation.dated(written(picture))
    return f"{picture.path.name}, {when}, {kept.width} x {kept.height}, {notation.computed(size(kept.size))}"
