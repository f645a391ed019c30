"""What a disk may hold after the power was cut, from the calls that were made until then.

The model is harsher than any one file system, so that what passes does not hang on the one that the shop has:

- A write is in memory until an fsync or fdatasync of its file that was begun after it had come back. Until then any
  part of it may be on the disk: all, nothing, any of its sectors of 512 bytes, one sector half. Later writes may be
  there without earlier ones, of one file as of several. Bytes beside a write stay as they were.
- The length of a file may grow without its data: zeros, or what some other file left there, stand in the hole.
- A change of length is one such write. A fdatasync keeps the length too, as POSIX has it.
- A name (made, renamed, removed) is in memory until an fsync of its folder; fsync of the file does not keep its name.
  Names of a folder may come through without each other, in part and out of order. A rename is there or not, never half.
  From folder to folder it is kept by an fsync of the new one.
- A folder that lost its name is lost with all in it.
- What was synced stays. A disk that lies about it (some cards do) is outside the model.

SQLite's `-shm` is left out: it is memory shared by processes, and made anew by the first to open after a start.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import PurePosixPath
from typing import TYPE_CHECKING

from tests.powercut.recording import Grow, Make, MakeFolder, Remove, Rename, Resize, Sync, Tree, Write

if TYPE_CHECKING:
    from random import Random

SECTOR = 512


@dataclass(eq=False)
class File:
    kept: bytearray
    live: bytearray


@dataclass(eq=False)
class Folder:
    kept: dict[str, File | Folder] = field(default_factory=dict)
    live: dict[str, File | Folder] = field(default_factory=dict)


@dataclass(eq=False)
class Data:
    """Bytes on their way to a file."""

    call: int
    file: File
    offset: int
    bytes: bytes

    def part(self, start: int, end: int) -> Data:
        return Data(self.call, self.file, self.offset + start, self.bytes[start:end])

    def sectors(self) -> list[Data]:
        """Cut where the disk cuts: at multiples of 512 bytes of the file."""
        edges = [0, *range(SECTOR - self.offset % SECTOR, len(self.bytes), SECTOR), len(self.bytes)]
        return [self.part(a, b) for a, b in pairwise(edges)]


@dataclass(eq=False)
class Length:
    call: int
    file: File
    size: int


@dataclass(eq=False)
class Names:
    """Names that change together, and the folder whose sync keeps them: None takes one away."""

    call: int
    folder: Folder
    names: list[tuple[Folder, str, File | Folder | None]]


Change = Data | Length | Names


class Disk:
    """Takes calls one by one; `cut` tells one of the states the disk may be in if no more come."""

    def __init__(self, before: Tree) -> None:
        self.root = Folder()
        self.waiting: list[Change] = []
        self.calls = 0
        for path, content in before.items():
            folder, name = self._folder(path)
            made: File | Folder = Folder() if content is None else File(bytearray(content), bytearray(content))
            folder.live[name] = folder.kept[name] = made

    def take(self, call: object) -> None:
        match call:
            case Make(path):
                folder, name = self._folder(path)
                if name not in folder.live:
                    self._name((folder, name, File(bytearray(), bytearray())))
            case MakeFolder(path):
                folder, name = self._folder(path)
                self._name((folder, name, Folder()))
            case Remove(path):
                folder, name = self._folder(path)
                self._name((folder, name, None))
            case Rename(path, new):
                (folder, name), (other, new_name) = self._folder(path), self._folder(new)
                self._name((other, new_name, folder.live[name]), (folder, name, None))
            case Write(path, offset, data):
                file = self._file(path)
                start = len(file.live) if offset is None else offset
                self._change(Data(self.calls, file, start, data))
            case Resize(path, size):
                self._change(Length(self.calls, self._file(path), size))
            case Grow(path, size):
                file = self._file(path)
                if size > len(file.live):
                    self._change(Length(self.calls, file, size))
            case Sync(path, since):
                self._sync(self._find(path), since)
        self.calls += 1

    def live(self) -> Tree:
        """What the programs see."""
        return _tree(self.root, lambda folder: folder.live, lambda file: file.live)

    def cut(self, chance: Random) -> Tree:
        """One state out of those the model allows."""
        come = chance.choice(WAYS)(self.waiting, chance)
        return self.with_only(come, chance.choice(FILLINGS)(chance))

    def with_only(self, come: list[Change], filling: Filling | None) -> Tree:
        """What was synced and of the rest these changes; what stays away leaves its length where there is a filling."""
        there = {change.call for change in come}
        if filling is not None:
            come = sorted(
                [*come, *(c for c in self.waiting if isinstance(c, Data) and c.call not in there)], key=lambda c: c.call
            )
        files: dict[File, bytearray] = {}
        folders: dict[Folder, dict[str, File | Folder]] = {}
        for change in come:
            match change:
                case Names(names=names):
                    for folder, name, node in names:
                        _rename(folders.setdefault(folder, dict(folder.kept)), name, node)
                case Length(_, file, size):
                    content = files.setdefault(file, bytearray(file.kept))
                    _resize(content, size)
                case Data(call, file, offset, data):
                    content = files.setdefault(file, bytearray(file.kept))
                    if call in there:
                        _write(content, offset, data)
                    elif filling is not None and len(content) < offset + len(data):
                        content += filling(offset + len(data) - len(content))
        return _tree(self.root, lambda f: folders.get(f, f.kept), lambda f: files.get(f, f.kept))

    def _name(self, *names: tuple[Folder, str, File | Folder | None]) -> None:
        self._change(Names(self.calls, names[0][0], list(names)))

    def _change(self, change: Change) -> None:
        self.waiting.append(change)
        match change:
            case Names(names=names):
                for folder, name, node in names:
                    _rename(folder.live, name, node)
            case Length(_, file, size):
                _resize(file.live, size)
            case Data(_, file, offset, data):
                _write(file.live, offset, data)

    def _sync(self, synced: File | Folder, since: int) -> None:
        waiting, self.waiting = self.waiting, []
        for change in waiting:
            if change.call >= since or synced is not (change.folder if isinstance(change, Names) else change.file):
                self.waiting.append(change)
                continue
            match change:
                case Names(names=names):
                    for folder, name, node in names:
                        _rename(folder.kept, name, node)
                case Length(_, file, size):
                    _resize(file.kept, size)
                case Data(_, file, offset, data):
                    _write(file.kept, offset, data)

    def _folder(self, path: str) -> tuple[Folder, str]:
        found = self.root
        *above, name = PurePosixPath(path).parts
        for part in above:
            inner = found.live[part]
            assert isinstance(inner, Folder)
            found = inner
        return found, name

    def _find(self, path: str) -> File | Folder:
        if path == ".":
            return self.root
        folder, name = self._folder(path)
        return folder.live[name]

    def _file(self, path: str) -> File:
        found = self._find(path)
        assert isinstance(found, File)
        return found


def _rename(entries: dict[str, File | Folder], name: str, node: File | Folder | None) -> None:
    if node is None:
        entries.pop(name, None)
    else:
        entries[name] = node


def _resize(content: bytearray, size: int) -> None:
    del content[size:]
    content.extend(bytes(size - len(content)))


def _write(content: bytearray, offset: int, data: bytes) -> None:
    if len(content) < offset:
        _resize(content, offset)
    content[offset : offset + len(data)] = data


def _tree(
    root: Folder,
    entries: Callable[[Folder], dict[str, File | Folder]],
    content: Callable[[File], bytearray],
) -> Tree:
    found: Tree = {}

    def walk(folder: Folder, above: PurePosixPath) -> None:
        for name, node in entries(folder).items():
            path = above / name
            if isinstance(node, Folder):
                found[str(path)] = None
                walk(node, path)
            else:
                found[str(path)] = bytes(content(node))

    walk(root, PurePosixPath())
    return found


Filling = Callable[[int], bytes]

FILLINGS: list[Callable[[Random], Filling | None]] = [
    lambda _: None,  # the length did not come either
    lambda _: bytes,
    lambda chance: chance.randbytes,
]


def _all(waiting: list[Change], _: Random) -> list[Change]:
    return list(waiting)


def _nothing(_waiting: list[Change], _: Random) -> list[Change]:
    return []


def _in_order_the_last_torn(waiting: list[Change], chance: Random) -> list[Change]:
    come = waiting[: chance.randrange(len(waiting) + 1)]
    if come and isinstance(last := come[-1], Data):
        come = [*come[:-1], last.part(0, chance.randrange(len(last.bytes) + 1))]
    return come


def _any(waiting: list[Change], chance: Random) -> list[Change]:
    return [change for change in waiting if chance.random() < 0.5]


def _all_but_one(waiting: list[Change], chance: Random) -> list[Change]:
    missing = chance.choice(waiting) if waiting else None
    return [change for change in waiting if change is not missing]


def _one_alone(waiting: list[Change], chance: Random) -> list[Change]:
    return [chance.choice(waiting)] if waiting else []


def _names_alone(waiting: list[Change], _: Random) -> list[Change]:
    return [change for change in waiting if isinstance(change, Names)]


def _all_but_names(waiting: list[Change], _: Random) -> list[Change]:
    return [change for change in waiting if not isinstance(change, Names)]


def _sectors(waiting: list[Change], chance: Random) -> list[Change]:
    """Any sectors of anything, and of some only a half."""
    come: list[Change] = []
    share = chance.random()
    for change in waiting:
        for piece in change.sectors() if isinstance(change, Data) else [change]:
            if chance.random() < share:
                torn = isinstance(piece, Data) and chance.random() < 0.1
                come.append(piece.part(0, chance.randrange(len(piece.bytes) + 1)) if torn else piece)  # type: ignore[union-attr]
    return come


WAYS: list[Callable[[list[Change], Random], list[Change]]] = [
    _all,
    _nothing,
    _in_order_the_last_torn,
    _any,
    _all_but_one,
    _one_alone,
    _names_alone,
    _all_but_names,
    _sectors,
    _sectors,
]
