"""What is recorded: the real program at work, and set-ups broken on purpose that have to be found out."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from reassembly.job.entries import PhotoKept
from reassembly.record import copies, durable, heads, photos, schema
from reassembly.record.backup import reading
from reassembly.record.desk import Desk
from reassembly.record.proof import prove
from reassembly.record.restore import restore
from reassembly.record.trouble import Trouble
from tests.powercut import looking, scripts
from tests.powercut.looking import Kept

Look = Callable[[Path, Sequence[str]], list[str]]
"""The folder after a cut and what was said before it -> what is wrong, in words."""


class Scenario(NamedTuple):
    """`script` is run with the folder as its argument, after `before` was run unrecorded. `look` is made when all is
    done, and is given the folder as it then stands."""

    script: str
    before: str = ""
    look: Callable[[Path], Look] = lambda root: _shop(root)

    @property
    def command(self) -> list[str]:
        return [sys.executable, "-c", scripts.HEAD + self.script]


def _shop(root: Path) -> Look:
    final = Kept.in_folder(root / "shop")
    return lambda cut, said: looking.faults(cut / "shop", final, said, scripts.ERASED.encode())


def _upgraded(root: Path) -> Look:
    @contextmanager
    def newer() -> Iterator[None]:
        schema.STEPS.update(scripts.NEWER)
        try:
            yield
        finally:
            for name in scripts.NEWER:
                del schema.STEPS[name]

    with newer():
        final = Kept.in_folder(root / "shop")
    return newer()(lambda cut, said: looking.faults(cut / "shop", final, said))


def _backed_up(root: Path) -> Look:
    shop = _shop(root)

    def look(cut: Path, said: Sequence[str]) -> list[str]:
        found = shop(cut, said)
        stick = cut / "stick"
        there = copies.in_directory(stick) if stick.is_dir() else []
        for copy in there:
            with reading(copy.path) as connection:
                found += [f"{copy.path.name}: {wrong}" for wrong in prove(connection, copy.path.name[:2])]
                found += heads.compare(connection, [heads.read(copies.heads_beside(copy.path))])
        names = {copy.path.name for copy in there}
        promised = [text.removeprefix("copied to ").strip() for text in said if text.startswith("copied to ")]
        return found + [f"{name} was promised and is gone" for name in promised if name not in names]

    return look


def _restored(root: Path) -> Look:
    final, pictures = Kept.in_folder(root / "restored"), _pictures(root / "restored")
    (name,) = [copy.path.name for copy in copies.in_directory(root / "stick")]

    def look(cut: Path, said: Sequence[str]) -> list[str]:
        restored = cut / "restored"
        if not (restored / "shop.db").exists():
            if said:
                return ["what was restored is gone"]
            try:
                restore(cut / "stick" / name, restored)
            except Trouble as trouble:
                return [f"it cannot be restored again: {trouble}"]
        found = looking.faults(restored, final, sorted(final.bodies))
        return found if _pictures(restored) == pictures else [*found, "pictures are not as they were"]

    return look


def _pictures(shop: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in (shop / "photos").glob("*")}


def _photos(root: Path) -> Look:
    """Whatever photo the journal names is whole, and what has a photo's name is that photo."""
    shop = _shop(root)

    def look(cut: Path, said: Sequence[str]) -> list[str]:
        folder = cut / "shop"
        there = {path.stem for path in (folder / "photos").glob("*.jpg")}
        found = [f"{name} is not whole" for name in there if durable.sha256(photos.find(folder, name) or cut) != name]
        found += shop(cut, said)
        with Desk.open(folder) as desk:
            named = {e.fact.digest for line in desk.jobs() for e in desk.job(line.id).said(PhotoKept)}
        return found + [f"{name} is named and is gone" for name in named - there]

    return look


def _photo(broken: str = "") -> Scenario:
    after_imports = "from tests.record.camera import take\n"
    return Scenario(scripts.PHOTOS.replace(after_imports, after_imports + broken), scripts.OPENED, _photos)


SCENARIOS = {
    "a photo kept": _photo(),
    "restore": Scenario(scripts.RESTORE, scripts.BACKED_UP, _restored),
    "appends": Scenario(scripts.APPENDS, scripts.OPENED),
    "two processes": Scenario(scripts.TWO, scripts.OPENED),
    "sign-off": Scenario(scripts.SIGN_OFF, scripts.OPENED),
    "customer erased": Scenario(scripts.CUSTOMER, scripts.OPENED),
    "search index tidied": Scenario(scripts.TIDY, scripts.PIECES),
    "journal append": Scenario(scripts.LINES),
    "screens": Scenario(scripts.SCREENS, scripts.REFIT_BEGUN),
    "first start": Scenario(scripts.APPENDS.replace("range(3)", "range(1)").replace("14", "2")),
    "migration": Scenario(scripts.UPGRADE, "with at_desk() as desk: strip_down(desk, 3)", _upgraded),
    "backup": Scenario(scripts.BACKUP, scripts.OPENED, _backed_up),
}
"""In all of these no cut may lose anything."""

BROKEN = {
    "synchronous off": Scenario("schema.PRAGMAS['synchronous'] = 0\n" + scripts.APPENDS, scripts.OPENED),
    "acknowledged before commit": Scenario(scripts.ACKNOWLEDGED_EARLY, scripts.OPENED),
    "search rows after the commit": Scenario(scripts.SEARCH_ROWS_LATER, scripts.OPENED),
    "migration without a transaction": Scenario(scripts.MIGRATED_BY_HAND, scripts.OPENED, _upgraded),
    "erased words not overwritten": Scenario(
        "schema.PRAGMAS['secure_delete'] = 0\n" + scripts.CUSTOMER, scripts.OPENED
    ),
    "SQLite's usual log": Scenario(scripts.USUAL_LOG + scripts.APPENDS, scripts.USUAL_LOG + scripts.OPENED),
    "photo named before it is durable": _photo(scripts.NAMED_EARLY),
    "photo promised before its name is durable": _photo(scripts.NAME_NOT_SYNCED),
}
"""In each of these the harness has to find a cut that loses something."""
