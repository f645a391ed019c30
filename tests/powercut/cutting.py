"""Record a scenario, cut the power at every call, and look at each of the states the disk may then be in."""

from __future__ import annotations

import hashlib
import shutil
import subprocess
import tempfile
from collections import Counter
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, NamedTuple

from tests.powercut.disk import Disk
from tests.powercut.recording import Recording, Said, record

if TYPE_CHECKING:
    from tests.powercut.recording import Tree
    from tests.powercut.scenarios import Look, Scenario

_TRIES = 4  # for each state asked for: many cuts leave the same one


class Outcome(NamedTuple):
    """`bad` has for each state that lost something the number of the call it was cut after, and what is wrong."""

    calls: int
    cuts: int
    states: int
    acknowledged: int
    bad: list[tuple[int, list[str]]]

    @property
    def faults(self) -> Counter[str]:
        return Counter(sentence for _, found in self.bad for sentence in found)


def run(scenario: Scenario, work: Path, states: int, seed: int) -> Outcome:
    """Look at that many different states, or all that were found, spread over all cut points.

    `work` is an empty folder. The states themselves are made in memory where there is such a disk: their own syncs need
    not be real.
    """
    root = work / "disk"
    root.mkdir()
    if scenario.before:
        subprocess.run([*scenario._replace(script=scenario.before).command, root], check=True, capture_output=True)
    recording = record([*scenario.command, str(root)], root, work / "log")
    same_as_the_disk(recording)
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else None) as place:
        return _look_at(recording, scenario.look(root), Path(place), states, Random(seed))


def same_as_the_disk(recording: Recording) -> None:
    """All calls taken together give the folder as it was in truth: none is missing, none misread."""
    disk = Disk(recording.before)
    for call in recording.calls:
        disk.take(call)
    if disk.live() != recording.after:
        differ = [path for path in disk.live() | recording.after if disk.live().get(path) != recording.after.get(path)]
        raise RuntimeError(f"the recording does not give the folder that was left: {differ}")


def _look_at(recording: Recording, look: Look, place: Path, states: int, chance: Random) -> Outcome:
    cuts = len(recording.calls) + 1
    tries = Counter(chance.randrange(cuts) for _ in range(max(0, states * _TRIES - cuts)))
    tries.update(range(cuts))
    disk, said = Disk(recording.before), list[str]()
    # Choose first which tries give a state of their own, so that those looked at are spread over all cuts.
    seen: set[bytes] = set()
    chosen: list[tuple[int, int]] = []
    for cut in range(cuts):
        for _ in range(tries[cut]):
            seed = chance.getrandbits(64)
            if (mark := _mark(disk.cut(Random(seed)), len(said))) not in seen:
                seen.add(mark)
                chosen.append((cut, seed))
        _take(disk, said, recording, cut)
    looked = sorted(chance.sample(chosen, min(states, len(chosen))))
    disk, said, taken, bad = Disk(recording.before), [], 0, []
    for cut, seed in looked:
        while taken < cut:
            _take(disk, said, recording, taken)
            taken += 1
        folder = place / "cut"
        lay(disk.cut(Random(seed)), folder)
        if found := look(folder, said):
            bad.append((cut, found))
        shutil.rmtree(folder)
    total = sum(isinstance(call, Said) for call in recording.calls)
    return Outcome(len(recording.calls), len({cut for cut, _ in looked}), len(looked), total, bad)


def _take(disk: Disk, said: list[str], recording: Recording, at: int) -> None:
    if at < len(recording.calls):
        call = recording.calls[at]
        disk.take(call)
        if isinstance(call, Said):
            said.append(call.text)


def _mark(state: Tree, said: int) -> bytes:
    digest = hashlib.blake2b(str(said).encode(), digest_size=16)
    for path, content in sorted(state.items()):
        digest.update(f"\0{path}\0{-1 if content is None else len(content)}\0".encode())
        digest.update(content or b"")
    return digest.digest()


def lay(state: Tree, folder: Path) -> None:
    """Write a state out as a real folder."""
    folder.mkdir()
    for path, content in state.items():
        if content is None:
            (folder / path).mkdir()
        else:
            (folder / path).write_bytes(content)
