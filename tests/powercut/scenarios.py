"""What is recorded: the real program at work, and set-ups broken on purpose that have to be found out."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from reassembly.record import copies, heads, schema
from reassembly.record.backup import reading
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


def _pictured(_: Path) -> Look:
    """Photos whole or not there. They are not kept yet: when they are, this look goes into the scenario that keeps one
    through the real program."""

    def look(cut: Path, said: Sequence[str]) -> list[str]:
        named = {path.name: path.read_bytes() for path in (cut / "pictures").glob("*.png")}
        found = [f"{name} is not whole" for name, data in named.items() if data != bytes([int(name[0]) + 65]) * 3000]
        return found + [f"{t.split()[1]} was promised and is gone" for t in said if t.split()[1] not in named]

    return look


_FOLDER_SYNC = "handle = os.open(pictures, os.O_RDONLY); os.fsync(handle); os.close(handle)"


def _picture(*, file: bool, name: bool) -> Scenario:
    script = scripts.PICTURE.replace("SYNC_FILE", "os.fsync(file.fileno())" if file else "pass")
    script = script.replace("SYNC_NAME", _FOLDER_SYNC if name else "pass")
    return Scenario(script, "(root / 'pictures').mkdir()", _pictured)


SCENARIOS = {
    "picture, as it should be": _picture(file=True, name=True),
    "restore": Scenario(scripts.RESTORE, scripts.BACKED_UP, _restored),
    "appends": Scenario(scripts.APPENDS, scripts.OPENED),
    "two processes": Scenario(scripts.TWO, scripts.OPENED),
    "sign-off": Scenario(scripts.SIGN_OFF, scripts.OPENED),
    "customer erased": Scenario(scripts.CUSTOMER, scripts.OPENED),
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
    "picture named before it is on the disk": _picture(file=False, name=True),
    "picture promised before its name is on the disk": _picture(file=True, name=False),
}
"""In each of these the harness has to find a cut that loses something."""
