"""What a program does to a folder, call by call, as strace(1) saw it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

UNDERSTOOD = "open openat creat write pwrite64 ftruncate fallocate fsync fdatasync rename renameat renameat2 unlink "
UNDERSTOOD += "unlinkat rmdir mkdir mkdirat lseek"
# Ways to change a file that no scenario uses so far. The recording stops at one rather than leave it out.
STRANGE = "writev pwritev pwritev2 truncate link linkat symlink symlinkat copy_file_range sendfile splice mmap "
STRANGE += "open_by_handle_at io_uring_setup"
# sync, syncfs and sync_file_range are left out: to count less as kept than the disk has kept is the hard way.

_LINE = re.compile(r"(?P<who>\d+) +(?:<\.\.\. (?P<resumed>\w+) resumed>)?(?P<rest>.*)", re.DOTALL)
_CALL = re.compile(r"(?P<name>\w+)\((?P<words>.*)\) += (?P<result>-?\d+|\?)", re.DOTALL)
_PLACE = re.compile(r"(?:\d+|AT_FDCWD)<([^>]*)>(\(deleted\))?")
_TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"(\.\.\.)?')


@dataclass(frozen=True)
class Make:
    path: str


@dataclass(frozen=True)
class MakeFolder:
    path: str


@dataclass(frozen=True)
class Write:
    """`offset` None: at the end of the file as it then is."""

    path: str
    offset: int | None
    data: bytes


@dataclass(frozen=True)
class Resize:
    path: str
    size: int


@dataclass(frozen=True)
class Grow:
    """To at least this size, as a reserved room is."""

    path: str
    size: int


@dataclass(frozen=True)
class Sync:
    """Came back as done. It speaks for the first `since` calls only: those that had come back when it was begun."""

    path: str
    since: int


@dataclass(frozen=True)
class Rename:
    path: str
    new: str


@dataclass(frozen=True)
class Remove:
    path: str


@dataclass(frozen=True)
class Said:
    """The program began to write this to its standard output: from now on somebody may rely on it."""

    text: str


Call = Make | MakeFolder | Write | Resize | Grow | Sync | Rename | Remove | Said

Tree = dict[str, bytes | None]
"""A folder: the bytes of each file, None for a folder, by path within it."""


@dataclass(frozen=True)
class Recording:
    """`before` and `after` are the folder itself, `calls` what came between."""

    before: Tree
    calls: list[Call]
    after: Tree


class NotUnderstood(Exception):
    """The program changed the folder by a call that the model of the disk does not have."""


def why_not() -> str:
    """Why nothing can be recorded on this machine; nothing when it can."""
    if shutil.which("strace") is None:
        return "strace is not installed"
    tried = subprocess.run(["strace", "-f", "-o", "/dev/null", "true"], capture_output=True, text=True, check=False)
    return f"strace may not trace here: {tried.stderr.strip()}" if tried.returncode else ""


def tree(root: Path) -> Tree:
    """The folder as it stands. SQLite's index of its log is left out: memory that it makes anew after a start."""
    return {
        str(path.relative_to(root)): path.read_bytes() if path.is_file() else None
        for path in sorted(root.rglob("*"))
        if not path.name.endswith("-shm")
    }


def record(command: Sequence[str], root: Path, log: Path) -> Recording:
    """Run a command to its end and take down what it does to the files below `root`."""
    root = root.resolve()
    before = tree(root)
    calls = ",".join((UNDERSTOOD + " " + STRANGE).split())
    strace = ["strace", "-f", "--seccomp-bpf", "-q", "-y", "-xx", "-s", "100000000", "-e", "signal=none"]
    done = subprocess.run(
        [*strace, "-e", f"trace={','.join(f'?{c}' for c in calls.split(','))}", "-o", str(log), *command],
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise RuntimeError(f"the recorded program failed: {done.stdout[-500:]}{done.stderr[-3000:]}")
    with log.open(encoding="ascii") as lines:
        return Recording(before, list(_Reader(root).read(lines)), tree(root))


class _Reader:
    """Lines of strace as calls. Paths are told within the root; what lies outside it is passed over."""

    def __init__(self, root: Path) -> None:
        self._root = str(root)
        self._done = 0
        self._begun: dict[str, tuple[str, int]] = {}
        self._at: dict[str, int | None] = {}

    def read(self, lines: Iterable[str]) -> Iterator[Call]:
        for line in lines:
            matched = _LINE.match(line.rstrip("\n"))
            if matched is None:
                raise NotUnderstood(line[:200])
            who, text, since = matched["who"], matched["rest"], self._done
            if text.startswith(("+++", "---")):
                continue
            if matched["resumed"]:
                begun, since = self._begun.pop(who)
                text = begun + text
            elif text.startswith("write(1<"):
                # The whole text stands in the line already, also where the call has not come back yet.
                yield self._count(Said(_string(text).decode()))
            if text.endswith("<unfinished ...>"):
                self._begun[who] = text.removesuffix("<unfinished ...>").rstrip(), since
                continue
            for call in self._call(text, since):
                yield self._count(call)

    def _count(self, call: Call) -> Call:
        self._done += 1
        return call

    def _call(self, text: str, since: int) -> Iterator[Call]:
        matched = _CALL.match(text)
        if matched is None:
            raise NotUnderstood(text[:200])
        name, words = matched["name"], matched["words"]
        if matched["result"] == "?" or int(matched["result"]) < 0:
            return
        result = int(matched["result"])
        if name in STRANGE.split():
            self._strange(name, words)
        elif name in ("open", "openat", "creat"):
            yield from self._open(name, words)
        elif name in ("rename", "renameat", "renameat2"):
            old, new = self._named(words)
            if old and new:
                self._at[new] = self._at.pop(old, 0)
                yield Rename(old, new)
            elif old or new:
                raise NotUnderstood("a rename into the folder or out of it")
        elif name in ("unlink", "unlinkat", "rmdir"):
            yield from (Remove(path) for path in self._named(words) if path)
        elif name in ("mkdir", "mkdirat"):
            yield from (MakeFolder(path) for path in self._named(words) if path)
        elif path := self._held(words):
            yield from self._to_file(name, path, words, result, since)

    def _to_file(self, name: str, path: str, words: str, result: int, since: int) -> Iterator[Call]:
        numbers = [int(word) for word in re.findall(r", (\d+)(?=,|$)", words)]
        match name:
            case "fsync" | "fdatasync":
                yield Sync(path, since)
            case "pwrite64":
                yield Write(path, numbers[-1], _string(words)[:result])
            case "write":
                at = self._at[path]
                yield Write(path, at, _string(words)[:result])
                if at is not None:
                    self._at[path] = at + result
            case "lseek":
                if self._at.get(path, 0) is not None:
                    self._at[path] = result
            case "ftruncate":
                yield Resize(path, numbers[0])
            case "fallocate":
                mode, offset, length = re.findall(r", (\w+)", words)
                if mode != "0":
                    raise NotUnderstood(f"fallocate {mode}")
                yield Grow(path, int(offset) + int(length))

    def _open(self, name: str, words: str) -> Iterator[Call]:
        (path,) = self._named(words)
        if not path:
            return
        flags = set(re.findall(r"O_\w+", words)) | ({"O_CREAT", "O_TRUNC"} if name == "creat" else set())
        if "O_TMPFILE" in flags:
            raise NotUnderstood("a file without a name")
        if flags & {"O_WRONLY", "O_RDWR", "O_CREAT"}:
            self._at[path] = None if "O_APPEND" in flags else 0
        if "O_CREAT" in flags:
            yield Make(path)
        if "O_TRUNC" in flags:
            yield Resize(path, 0)

    def _strange(self, name: str, words: str) -> None:
        if name == "io_uring_setup":
            raise NotUnderstood(name)
        if name == "mmap" and not ("MAP_SHARED" in words and "PROT_WRITE" in words):
            return
        if self._held(words) or any(self._named(words)):
            raise NotUnderstood(f"{name} in the folder")

    def _held(self, words: str) -> str:
        """The path of the open file that a call is about; nothing where it lies elsewhere or has lost its name."""
        place = _PLACE.search(words)
        return "" if place is None or place[2] else self._within(_plain(place[1]))

    def _named(self, words: str) -> list[str]:
        """The paths that a call names, each from the folder before it."""
        paths, folder = [], ""
        for place, text in re.findall(r'(?:\d+|AT_FDCWD)<([^>]*)>|"((?:\\x[0-9a-f]{2})*)"', words):
            if place:
                folder = _plain(place)
            else:
                path = PurePosixPath(folder, _plain(text))
                if not path.is_absolute():
                    raise NotUnderstood(f"{path}, told from wherever the program is")
                paths.append(self._within(os.path.normpath(path)))
        return paths

    def _within(self, path: str) -> str:
        if path == self._root:
            return "."
        inside = path.removeprefix(self._root + "/")
        return "" if inside == path or inside.endswith("-shm") else inside


def _plain(text: str) -> str:
    return bytes.fromhex(text.replace("\\x", "")).decode() if text.startswith("\\x") else text


def _string(words: str) -> bytes:
    found = _TEXT.search(words)
    if found is None or found[2]:
        raise NotUnderstood(f"cut short: {words[:80]}")
    return bytes.fromhex(found[1].replace("\\x", ""))
