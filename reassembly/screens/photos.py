"""Photos of a job on the glass, those of the part on display first, and after them the new pictures that wait."""

from __future__ import annotations

from time import monotonic
from typing import TYPE_CHECKING, Any

from msgspec import structs
from textual.binding import Binding
from textual.widgets import Static

from reassembly.job.entries import EntryStruck
from reassembly.job.job import part_in, parts
from reassembly.record import durable
from reassembly.record import photos as kept_photos
from reassembly.record.photos import Photo
from reassembly.record.trouble import Trouble
from reassembly.record.watched import MOST, Waiting
from reassembly.screens.frame import Frame
from reassembly.screens.half_blocks import CONSOLE, PhotoView, half_blocks
from reassembly.screens.keeping import in_words, on_display
from reassembly.screens.prompt import PromptScreen
from reassembly.screens.strike import ask_strike, say_instead
from reassembly.screens.text import cut, shown

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from textual.app import ComposeResult
    from textual.strip import Strip

    from reassembly.job.entries import Entry
    from reassembly.record.pictures import Colour

_PATIENCE = 0.5  # seconds, until a person wonders whether anything is going on


class PhotosScreen(Frame):
    """The photos of this job, those of the part on display first, then the new pictures on a card or phone, which are
    not kept yet. Left and right go on; Space keeps a new one with what is on display. A photo is kept upright and
    without the place where it was taken."""

    CSS_PATH = "photos.tcss"
    HEADING = "PHOTOS"
    CARDS = {"next": "turn(1)", "back": "turn(-1)", "confirm": "keep"}
    BINDINGS = [
        Binding("space,enter", "keep", "Keep it"),
        Binding("right,n", "turn(1)", "Next"),
        Binding("left,b", "turn(-1)", "Before"),
        Binding("c", "caption", "What it shows"),
        Binding("o", "full_size", "Full size"),
        Binding("x", "strike", "Strike out"),
        Binding("escape", "app.pop_screen", "Back"),
    ]

    def __init__(self, part: str = "") -> None:
        """`part` is the id of the part on display; empty for the whole job."""
        super().__init__()
        self._part = part
        self._at = ""
        self._turned = 0
        self._now: Photo | Waiting | None = None
        self._count = 0
        self._waiting: list[Waiting] = []
        self._looking = "looking for new pictures"
        self._loaded: tuple[object, ...] = ()

    def body(self) -> ComposeResult:
        yield Static(id="about", markup=False)
        yield PhotoView(id="photo")

    def on_mount(self) -> None:
        begun = monotonic()

        def progress(done: int, every: int) -> None:
            if monotonic() - begun > _PATIENCE:
                self.app.call_later(self._tell_progress, done * 100 // max(every, 1))

        self.bench.keeping.look(self._came, most=MOST, progress=progress)

    def _tell_progress(self, percent: int) -> None:
        if self._looking:
            self._looking = f"looking for new pictures: {percent} %"
            self.refresh_all()

    def _came(self, found: object) -> None:
        self._looking = ""
        if isinstance(found, Trouble):
            self.answer(str(found), "warn")
        elif isinstance(found, Exception):
            raise found
        else:
            assert isinstance(found, list)
            self._waiting = found
        self.refresh_all()

    def on_photo_view_resized(self) -> None:
        self.refresh_all()

    def part_on_display(self) -> str:
        return self._part

    def keeps(self) -> dict[str, Any]:
        return {"at": self._at}

    def take_up(self, kept: Mapping[str, Any]) -> None:
        self._at = str(kept["at"])

    def _several(self) -> Sequence[Photo | Waiting]:
        """All that can be turned to: photos, the newest first, then new pictures, the newest first."""
        standing = sorted(
            kept_photos.standing(self.desk.path, self.job),
            key=lambda photo: (self._part in {photo.entry.fact.part, ""}, photo.entry.order),
            reverse=True,
        )
        known = {photo.entry.fact.source for photo in standing}
        return [*standing, *(each for each in self._waiting if each.source not in known)]

    def show(self) -> None:
        """What was on display stays there; where it is gone, what came into its place."""
        several = self._several()
        at = next((n for n, each in enumerate(several) if _key(each) == self._at), None)
        self._turned = max(0, min(self._turned, len(several) - 1)) if at is None else at
        self._now, self._count = several[self._turned] if several else None, len(several)
        self._at = _key(self._now) if self._now else ""
        width = self.app.size.width - 2
        self.query_one("#about", Static).update(shown("\n".join(cut(line, width) for line in self._about(self._now))))
        self._load(self._now)
        self.refresh_bindings()

    def _about(self, now: Photo | Waiting | None) -> list[str]:
        if now is None:
            return ["no photo of this job", self._looking or self.bench.keeping.no_picture]
        of = f"{self._turned + 1} of {self._count}"
        if isinstance(now, Waiting):
            return [
                f"{of}   NEW, NOT KEPT YET: {in_words(now, self.notation)}",
                f"Space keeps it with {self._called(self._part)}",
            ]
        fact, entry = now.entry.fact, now.entry
        taken = f", taken {self.notation.minute(fact.taken)}" if fact.taken else ""
        what = f"{self._called(fact.part)}{f': {fact.caption}' if fact.caption else ''}"
        return [f"{of}   {what}", f"kept by {entry.who} {self.notation.minute(entry.time)}{taken}   {self._looking}"]

    def _called(self, part: str) -> str:
        return part_in(parts(self.job), part).name if part else "the whole vehicle"

    def _load(self, now: Photo | Waiting | None) -> None:
        """Read the picture in a thread; what is on the glass by then may be another one."""
        view = self.query_one("#photo", PhotoView)
        size = view.size
        wanted = (_key(now) if now else "", size.width, size.height)
        if wanted == self._loaded or not size.area:
            return
        self._loaded = wanted
        if now is None:
            view.show("")
            return
        few = CONSOLE if self.app.console.color_system in {None, "standard", "windows"} else ()

        def loaded(found: object) -> None:
            if isinstance(found, Exception):
                raise found
            if self._loaded == wanted and self.is_attached:
                view.show(found)  # type: ignore[arg-type]

        self.bench.sending.aside(lambda: _read(now, size.width, size.height, few), loaded)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Only keys that do something to what is on display."""
        match action:
            case "turn":
                return self._count > 1
            case "keep":
                return isinstance(self._now, Waiting)
            case "caption" | "full_size" | "strike":
                return isinstance(self._now, Photo)
            case "photos":
                return False
        return super().check_action(action, parameters)

    def action_turn(self, by: int) -> None:
        several = self._several()
        if several:
            self._at = _key(several[(self._turned + by) % len(several)])
            self.refresh_all()

    def action_keep(self) -> None:
        now = self._now
        if not isinstance(now, Waiting):
            told = (
                "this one is kept already: nothing more to do"
                if now
                else "no picture is here: take one, or put a card in"
            )
            self.answer(told, "warn")
            return

        def kept(entry: Any) -> None:
            self._at = entry.id
            self.refresh_all()

        self.bench.keeping.keep(now, self.job, self._part, kept)

    def action_full_size(self) -> None:
        now = self._now
        if isinstance(now, Photo):
            self.answer(kept_photos.view(now.path) if now.path else kept_photos.gone(now.entry.id))

    def action_strike(self) -> None:
        photo = self._now
        if isinstance(photo, Photo):
            ask_strike(self, photo.entry, lambda why: self._caption(photo.entry, why))

    def action_caption(self) -> None:
        if isinstance(self._now, Photo):
            self._caption(self._now.entry, "said again with what it shows")

    def _caption(self, entry: Entry[Any], why: str, words: str = "") -> None:
        """Say the photo again with what it shows, in place of what was said of it."""

        def told(words: str) -> None:
            again = structs.replace(entry.fact, caption=words)
            if not say_instead(self, EntryStruck(entry=entry.id, why=why), again):
                self._caption(entry, why, words)
                return
            self._at = next(e.id for e in reversed(self.job.entries) if e.fact == again)
            self.refresh_all()

        question = "What does this photo show?"
        self.ask(PromptScreen("WHAT IT SHOWS", question, words or entry.fact.caption), told)


def look_at_photos(frame: Frame) -> None:
    """Open the photos of the job, those of what is on display first."""
    frame.app.push_screen(PhotosScreen(on_display(frame.bench)))


def _key(each: Photo | Waiting) -> str:
    return each.source if isinstance(each, Waiting) else each.entry.id


def _read(each: Photo | Waiting, width: int, height: int, few: Sequence[Colour]) -> list[Strip] | str:
    """The lines to be painted, or why there are none."""
    from reassembly.record.pictures import pixels

    path = each.path
    try:
        if isinstance(each, Photo):
            if path is None:
                return kept_photos.gone(each.entry.id)
            if durable.sha256(path) != each.entry.fact.digest:
                return kept_photos.altered(path)
        assert path
        return half_blocks(pixels(path, width, 2 * height, few))
    except Trouble as trouble:
        return str(trouble)
    except OSError as error:
        return f"{path} cannot be read ({error.strerror})."
