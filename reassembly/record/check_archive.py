"""Check an archive of evidence about one vehicle at a workshop. Needs a plain Python 3.8 or later, nothing else.

    python3 -I -S verify.py                      beside the unpacked files
    python3 -I -S verify.py ARCHIVE.zip          the archive as it came
      --paper "ABCD EFGH IJKL MNOP KD.40"        what a printed record ends with; the numbers (KD.40) may be left out
      --seal "ABCD EFGH IJKL MNOP"               what was written down when the archive was made
      --journal DUMP.jsonl                       all entries of the workshop, if it gives them out

Every line that begins with WRONG names something that is not as it was. Exit code 0: nothing was found wrong; 1:
something was; 2: there is nothing to check.
"""

from __future__ import annotations

import argparse
import base64
import hashlib
import heapq
import json
import re
import sys
import zipfile
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterator

SUMS, HEADS, ENTRIES, DETAILS = "SHA256SUMS", "heads.json", "entries.jsonl", "customer.jsonl"
LINE = re.compile(r"([1-9][0-9]*) ([1-9][0-9]*) ([0-9a-f]{64}) (-|[0-9a-f]{64}) ([.*])")
SUM = re.compile(r"([0-9a-f]{64})  (.+)")
NUMBER = re.compile(r"([A-Za-z0-9]{1,16})\.([0-9]+)")


class Link(NamedTuple):
    """One line of a bench's chain: an entry's place, clock, hash, the hash before it, and whether it is of this job."""

    bench: str
    number: int
    clock: int
    hash: str
    previous: str
    ours: bool

    @property
    def name(self) -> str:
        return f"{self.bench}.{self.number}"


class Archive:
    """The files, whether in a zip archive or unpacked."""

    def __init__(self, path: Path) -> None:
        self.zip = None if path.is_dir() else zipfile.ZipFile(str(path))
        self.folder = path
        if self.zip:
            self.names = [name for name in self.zip.namelist() if not name.endswith("/")]
        else:
            self.names = [p.relative_to(path).as_posix() for p in sorted(path.rglob("*")) if p.is_file()]

    def open(self, name: str) -> IO[bytes]:
        return self.zip.open(name) if self.zip else (self.folder / name).open("rb")

    def read(self, name: str) -> bytes:
        with self.open(name) as file:
            return file.read()

    def sha256(self, name: str) -> str:
        digest = hashlib.sha256()
        with self.open(name) as file:
            for piece in iter(lambda: file.read(1 << 20), b""):
                digest.update(piece)
        return digest.hexdigest()


class Check:
    """Goes through an archive and tells line by line what it finds."""

    def __init__(self, archive: Archive) -> None:
        self.archive = archive
        self.wrong = 0
        self.heads: dict[str, tuple[int, str]] = {}
        self.job = ""
        self.missing: set[str] = set()
        self.ids: list[str] = []

    def tell(self, text: str) -> None:
        shown = "".join(c if c.isprintable() else "?" for c in text)
        sys.stdout.buffer.write((shown + "\n").encode("utf-8", "replace"))

    def bad(self, text: str) -> None:
        self.wrong += 1
        self.tell("WRONG  " + text)

    def good(self, text: str, wrong_before: int) -> None:
        """Only where nothing was found wrong since."""
        if self.wrong == wrong_before:
            self.tell("ok     " + text)

    def all(self, paper: str, seal: str, journal: Path | None) -> None:
        self.files(seal)
        if not self.about():
            return
        self.chains()
        self.entries()
        self.customer()
        if paper:
            self.paper(paper)
        if journal:
            self.journal(journal)
        else:
            self.tell("       not checked: that no entry of this job is among those whose text is not in here")
            self.tell("       (README.txt, 'That nothing was left out')")

    def files(self, seal: str) -> None:
        """Every file against the list, and the list against the files."""
        before = self.wrong
        names = self.archive.names
        for name in sorted({name for name in names if names.count(name) > 1}):
            self.bad(f"{name} is in the archive twice")
        listed: dict[str, str] = {}
        lines = self.archive.read(SUMS).decode("utf-8", "replace").splitlines() if SUMS in names else []
        if not lines:
            self.bad(SUMS + " is missing: nothing says what the files were")
        for line in lines:
            match = SUM.fullmatch(line)
            if not match or match.group(2) in listed:
                self.bad(f"{SUMS} was altered: it has the line {line!r}")
            else:
                listed[match.group(2)] = match.group(1)
        for name in sorted(set(names) - set(listed) - {SUMS}):
            self.bad(f"{name} is not in the list {SUMS}: it was added, or its line removed")
        for name, expected in sorted(listed.items()):
            if name not in names:
                self.bad(f"{name} is missing")
            elif self.archive.sha256(name) != expected:
                self.bad(f"{name} was altered, or its line in {SUMS}: they do not agree")
        self.good(f"{len(listed)} files are as the list {SUMS} says", before)
        real = letters(hashlib.sha256(self.archive.read(SUMS)).digest()) if lines else ""
        if seal and plain(seal) != real:
            self.bad(f"the seal written down is {grouped(plain(seal))}, that of this archive {grouped(real)}")
        elif real:
            self.tell(f"{'ok    ' if seal else '      '} the seal of the archive is {grouped(real)}")

    def about(self) -> bool:
        try:
            about = json.loads(self.archive.read(HEADS).decode())
            self.heads = {str(b): (int(h["number"]), str(h["hash"])) for b, h in about["heads"].items()}
            self.job = str(about["job"])
            self.missing = set(about["photos_missing"])
        except (KeyError, ValueError, TypeError, AttributeError, OSError) as error:
            self.bad(f"{HEADS} cannot be read ({error!r}): the chains cannot be checked")
            return False
        self.tell(f"       the journal's digest is {grouped(digest(self.heads))}: compare it with paper")
        return True

    def links(self, bench: str) -> Iterator[Link]:
        """A bench's chain, as far as it can be read."""
        name = f"chain/{bench}.txt"
        if name not in self.archive.names:
            return
        with self.archive.open(name) as file:
            for raw in file:
                match = LINE.fullmatch(raw.decode("utf-8", "replace").rstrip("\n"))
                if not match:
                    return
                number, clock, hashed, previous, ours = match.groups()
                yield Link(bench, int(number), int(clock), hashed, "" if previous == "-" else previous, ours == "*")

    def in_order(self) -> Iterator[Link]:
        """All chains in the order in which entries are read."""
        return heapq.merge(*(self.links(b) for b in sorted(self.heads)), key=lambda k: (k.clock, k.bench, k.number))

    def chains(self) -> None:
        """Numbers without a gap, each naming the hash before it, up to the head."""
        before, total = self.wrong, 0
        for bench, head in sorted(self.heads.items()):
            last = Link(bench, 0, 0, "", "", ours=False)
            for link in self.links(bench):
                if link.number != last.number + 1:
                    self.bad(f"{bench}.{last.number + 1} is missing from the chain")
                elif link.previous != last.hash:
                    self.bad(f"{link.name} does not follow {last.name} in the chain: one of the two was altered")
                if link.clock <= last.clock:
                    self.bad(f"{link.name} has a clock that went back")
                last, total = link, total + 1
            if (last.number, last.hash) != head:
                self.bad(
                    f"the chain of {bench} ends with {last.name} and not with its head {bench}.{head[0]}: the end was "
                    "cut off, or one of the two altered"
                )
        self.good(f"{total} entries of {len(self.heads)} benches are chained up to the heads", before)

    def entries(self) -> None:
        """Each text of this job against its place in the chain, and that none of them is missing."""
        before = self.wrong
        ours = {link.name: link for link in self.in_order() if link.ours}
        self.ids, photos, last = [], {}, (0, "", 0)
        for place, body in enumerate(self.lines(ENTRIES), 1):
            try:
                entry = json.loads(body.decode())
                name = name_of(entry)
                here = (entry["hlc"], entry["bench"], entry["number"])
                in_place, last = here > last, here
                said = (entry["job"], entry["hlc"], entry["previous"])
                fact = entry["fact"]
            except (KeyError, ValueError, TypeError) as error:
                self.bad(f"line {place} of {ENTRIES} is no entry ({error!r})")
                continue
            if name in self.ids:
                self.bad(f"{name} is there twice")
            self.ids.append(name)
            link = ours.get(name)
            if link is None:
                self.bad(f"{name} was put in: the chain has no entry of this job there")
            elif hashlib.sha256(body).hexdigest() != link.hash:
                self.bad(f"{name} was altered: its text does not give the hash in the chain")
            elif said != (self.job, link.clock, link.previous):
                self.bad(f"{name} says something else of itself than its place in the chain")
            if not in_place:
                self.bad(f"{name} is not in its place: entries were exchanged")
            if isinstance(fact, dict) and fact.get("kind") == "PhotoKept":
                photos[str(fact.get("digest"))] = name
        for name in sorted(set(ours) - set(self.ids), key=lambda n: ours[n][2]):
            self.bad(f"{name} of this job was taken out")
        self.good(f"{len(ours)} entries of job {self.job} have the hashes in the chain, none is missing", before)
        self.photos(photos)

    def photos(self, named: dict[str, str]) -> None:
        before = self.wrong
        there = {Path(n).stem: n for n in self.archive.names if n.startswith("photos/")}
        for stem, name in sorted(there.items()):
            if stem not in named:
                self.bad(f"{name} is named by no entry")
            elif self.archive.sha256(name) != stem:
                self.bad(f"{name} is not the picture that {named[stem]} names")
        for stem, entry in sorted(named.items()):
            if stem not in there and stem not in self.missing:
                self.bad(f"the picture that {entry} names was taken out")
            elif stem not in there:
                self.tell(f"       the picture that {entry} names was no longer there when the archive was made")
        if there:
            self.good(f"{len(there)} pictures are those that the entries name", before)

    def customer(self) -> None:
        """The customer's details against the salted hash that the entry has of them."""
        before, seen = self.wrong, 0
        named = {}
        for body in self.lines(ENTRIES):
            try:
                entry = json.loads(body.decode())
                if entry["fact"]["kind"] == "CustomerNamed":
                    named[name_of(entry)] = entry["fact"]["digest"]
            except (KeyError, ValueError, TypeError):
                continue  # told already
        for line in self.lines(DETAILS):
            seen += 1
            try:
                given = json.loads(line.decode())
                name, words = given["details_of"], (given["salt"] + given["body"]).encode()
            except (KeyError, ValueError, TypeError) as error:
                self.bad(f"line {seen} of {DETAILS} cannot be read ({error!r})")
                continue
            if hashlib.sha256(words).hexdigest() != named.get(name):
                self.bad(f"the customer's details of {name} were altered")
        if seen:
            self.good("the customer's details are those the entries stand for", before)

    def paper(self, typed: str) -> None:
        """What the archive has of the moment a printed record stands for."""
        numbers = {m.group(1): int(m.group(2)) for m in map(NUMBER.fullmatch, typed.replace(",", " ").split()) if m}
        text = plain(" ".join(w for w in typed.replace(",", " ").split() if not NUMBER.fullmatch(w)))
        then: dict[str, tuple[int, str]] = {}
        ours = 0
        for link in self.in_order():
            if numbers and link.number > numbers.get(link.bench, 0):
                continue
            then[link.bench] = (link.number, link.hash)
            ours += link.ours
            at_numbers = {b: n for b, (n, _) in then.items()} == numbers
            if (not numbers or at_numbers) and digest(then) == text:
                after = sum(n for n, _ in self.heads.values()) - sum(n for n, _ in then.values())
                self.tell(f"ok     what the paper with {grouped(text)} stands for is here unchanged:")
                self.tell(f"       {ours} of the {len(self.ids)} entries of this job; {after} in all came after it")
                return
        more = "" if numbers else " (with several benches give their numbers too, as KD.40)"
        self.bad(
            f"the paper with {grouped(text)} stands for no moment of these chains: an end was cut off, a chain was "
            f"rewritten, or a letter is mistyped{more}"
        )

    def journal(self, dump: Path) -> None:
        """All entries of the workshop against the chains: the only proof that none of this job was left out."""
        before, seen = self.wrong, 0
        links = self.in_order()
        with dump.open("rb") as file:
            for raw in file:
                body = raw.rstrip(b"\n")
                try:
                    entry = json.loads(body.decode())
                    if "details_of" in entry:
                        continue
                    name, job, previous = name_of(entry), entry["job"], entry["previous"]
                except (KeyError, ValueError, TypeError) as error:
                    self.bad(f"{dump} has a line that is no entry ({error!r})")
                    return
                if entry["number"] > self.heads.get(entry["bench"], (0, ""))[0]:
                    continue  # said after the archive was made
                link = next(links, None)
                if link is None or link.name != name:
                    self.bad(f"{dump} has {name} where the chain has {link.name if link else 'nothing'}")
                    return
                if (hashlib.sha256(body).hexdigest(), previous) != (link.hash, link.previous):
                    self.bad(f"{name} in {dump} is not the entry that the chain has")
                if (job == self.job) != link.ours:
                    left = "left out of" if job == self.job else "counted wrongly to this job in"
                    self.bad(f"{name} was {left} the archive")
                seen += 1
        missing = next(links, None)
        if missing is not None:
            self.bad(f"{dump} ends before {missing.name} of the chain")
        self.good(f"all {seen} entries of the workshop are in the chains, none of this job was left out", before)

    def lines(self, name: str) -> Iterator[bytes]:
        if name in self.archive.names:
            with self.archive.open(name) as file:
                for line in file:
                    yield line.rstrip(b"\n")


def name_of(entry: dict[str, Any]) -> str:
    return f"{entry['bench']}.{entry['number']}"


def digest(heads: dict[str, tuple[int, str]]) -> str:
    """What a printed record ends with: base32 of 80 bits of SHA-256 over `bench number hash` lines, sorted by bench."""
    text = "".join(f"{bench} {number} {hashed}\n" for bench, (number, hashed) in sorted(heads.items()))
    return letters(hashlib.sha256(text.encode()).digest())


def letters(hashed: bytes) -> str:
    return base64.b32encode(hashed[:10]).decode()


def plain(typed: str) -> str:
    """As it was computed: no spaces, and the digits that base32 has not read as the letters they look like."""
    return "".join(typed.split()).replace("-", "").upper().translate(str.maketrans("018", "OIB"))


def grouped(text: str) -> str:
    return " ".join(text[at : at + 4] for at in range(0, len(text), 4))


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description="Check an archive of evidence.")
    parser.add_argument("archive", nargs="?", default=str(Path(__file__).resolve().parent), metavar="ARCHIVE")
    parser.add_argument("--paper", default="", metavar="DIGEST", help="what a printed record ends with")
    parser.add_argument("--seal", default="", metavar="SEAL", help="what was written down when it was made")
    parser.add_argument("--journal", metavar="FILE", help="all entries of the workshop")
    given: Any = parser.parse_args(arguments)
    try:
        check = Check(Archive(Path(given.archive)))
    except (OSError, zipfile.BadZipFile) as error:
        sys.stderr.write(f"There is nothing to check: {error}\n")
        return 2
    try:
        check.all(given.paper, given.seal, Path(given.journal) if given.journal else None)
    except (OSError, zipfile.BadZipFile, EOFError) as error:
        check.bad(f"not everything can be read: {error}")
    check.tell(f"{check.wrong} found wrong" if check.wrong else "nothing found wrong")
    return 1 if check.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
