"""An archive of evidence, checked by its own script in an empty environment, whole and tampered with."""

import ast
import hashlib
import json
import os
import subprocess
import sys
import threading
import zipfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import pytest

from reassembly.job.entries import CustomerNamed, EntryStruck, PartRemoved, PhotoKept
from reassembly.record import check_archive, durable, heads, lines
from reassembly.record.customer import Customer
from reassembly.record.evidence import Evidence, evidence
from reassembly.record.photos import keep
from reassembly.record.trouble import Refused, Trouble
from tests.record.bench import Wall, desk_in, with_job
from tests.record.camera import take

Files = dict[str, bytes]


class Case:
    """A workshop of two jobs, a paper printed in the middle, and the archive of the first."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        with desk_in(folder / "shop", Wall()) as desk:
            self.job = with_job(desk)
            desk.say(CustomerNamed(digest=""), details=Customer(name="Jo Lark"))
            (folder / "shop" / "photos").mkdir()
            self.picture = hashlib.sha256(b"picture").hexdigest()
            (folder / "shop" / "photos" / f"{self.picture}.jpg").write_bytes(b"picture")
            for part in ("pan", "lid"):
                desk.say(PartRemoved(part=part, name=part))
            self.paper = desk.digest()
            with_job(desk, registration="9ZZ 1")
            desk.say(PartRemoved(part="hub", name="hub"))
            desk.open_job = self.job
            desk.say(EntryStruck(entry=f"{desk.bench}.3", why="slip"))
            desk.say(PhotoKept(digest=self.picture, caption="flange"))
            self.bench = desk.bench
            self.made: Evidence = evidence(desk, self.job, folder / "evidence.zip", customer=True)
            self.bodies = [body for *_, body in desk.journal.bodies(self.job)]
            self.dump = folder / "all.jsonl"
            self.dump.write_bytes(b"".join(line + b"\n" for line in lines.dump(desk.journal, details=True)))

    def files(self) -> Files:
        with zipfile.ZipFile(self.made.path) as archive:
            return {name: archive.read(name) for name in archive.namelist()}


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory) -> Case:
    return Case(tmp_path_factory.mktemp("case"))


def check(folder: Path, *arguments: object) -> tuple[int, list[str]]:
    """As a stranger would: the script that came along, no environment, no package installed, nothing of ours."""
    command = [sys.executable, "-I", "-S", "-W", "error", str(folder / "verify.py"), *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, check=False, env={}, cwd="/")
    assert not done.stderr, done.stderr
    return done.returncode, done.stdout.decode().splitlines()


def unpacked(files: Files, folder: Path) -> Path:
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)
    return folder


def wrong(told: list[str]) -> list[str]:
    return [line.removeprefix("WRONG  ") for line in told if line.startswith("WRONG")]


def listed(files: Files) -> Files:
    """With a list that fits, as whoever tampers with care would make."""
    rest = {name: content for name, content in files.items() if name != "SHA256SUMS"}
    sums = "".join(f"{hashlib.sha256(content).hexdigest()}  {name}\n" for name, content in sorted(rest.items()))
    return {**rest, "SHA256SUMS": sums.encode()}


# as it was made


def test_the_archive_is_found_whole_by_its_own_script(case: Case, tmp_path: Path) -> None:
    folder = unpacked(case.files(), tmp_path)
    code, told = check(folder, "--paper", case.paper, "--seal", case.made.seal, "--journal", case.dump)
    assert (code, wrong(told), told[-1]) == (0, [], "nothing found wrong")
    assert "       4 of the 6 entries of this job; 4 in all came after it" in told
    assert f"ok     6 entries of job {case.job} have the hashes in the chain, none is missing" in told
    assert "ok     1 pictures are those that the entries name" in told
    assert "ok     all 8 entries of the workshop are in the chains, none of this job was left out" in told
    assert any(heads.grouped(case.made.digest) in line for line in told)


def test_it_can_be_checked_unopened_and_says_what_it_did_not_check(case: Case, tmp_path: Path) -> None:
    unpacked({"verify.py": case.files()["verify.py"]}, tmp_path)
    code, told = check(tmp_path, case.made.path)
    assert code == 0
    assert any("not checked: that no entry of this job" in line for line in told)


def test_entries_are_there_byte_for_byte_and_others_are_not(case: Case) -> None:
    files = case.files()
    assert files["entries.jsonl"].splitlines() == case.bodies
    assert b"hub" not in files["entries.jsonl"]
    assert files["record.pdf"].startswith(b"%PDF")
    assert files[f"photos/{case.picture}.jpg"] == b"picture"
    assert files[f"chain/{case.bench}.txt"].count(b"\n") == 8
    assert heads.grouped(case.made.digest) in files["README.txt"].decode()
    assert max(map(len, files["README.txt"].decode().splitlines())) <= 110


def test_its_heads_can_be_held_against_a_journal(case: Case, tmp_path: Path) -> None:
    folder = unpacked(case.files(), tmp_path)
    assert heads.read(folder / "heads.json").digest == case.made.digest


def test_the_script_keeps_to_python_3_8(case: Case) -> None:
    tree = ast.parse(case.files()["verify.py"], feature_version=(3, 8))
    imported = {a.name.partition(".")[0] for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names}
    imported |= {str(n.module).partition(".")[0] for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)}
    assert imported <= sys.stdlib_module_names
    later = {
        "removeprefix",
        "removesuffix",
        "file_digest",
        "is_relative_to",
        "pairwise",
        "batched",
        "readlink",
    }  # 3.9 on
    assert later.isdisjoint(n.attr for n in ast.walk(tree) if isinstance(n, ast.Attribute))
    assert not [n for n in ast.walk(tree) if isinstance(n, ast.keyword) and n.arg == "strict"]


@pytest.mark.parametrize(("erased", "wanted"), [(False, False), (True, True)])
def test_the_customer_is_in_it_only_when_asked_for_and_not_erased(erased: bool, wanted: bool, tmp_path: Path) -> None:
    from pypdf import PdfReader

    with desk_in(tmp_path / "shop") as desk:
        job = with_job(desk)
        desk.say(CustomerNamed(digest=""), details=Customer(name="Quillfeather"))
        if erased:
            desk.erase(job, "asked for it")
        made = evidence(desk, job, tmp_path / "e.zip", customer=wanted)
    with zipfile.ZipFile(made.path) as archive:
        assert "customer.jsonl" not in archive.namelist()
        assert not [name for name in archive.namelist() if b"Quillfeather" in archive.read(name)]
        archive.extract("record.pdf", tmp_path)
    assert "Quillfeather" not in "".join(page.extract_text() for page in PdfReader(tmp_path / "record.pdf").pages)


def test_a_picture_that_is_gone_is_told_and_is_nobodys_tampering(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        job = with_job(desk)
        desk.say(PhotoKept(digest="0" * 64))
        made = evidence(desk, job, tmp_path / "e.zip")
    assert made.missing == ["0" * 64]
    with zipfile.ZipFile(made.path) as archive:
        archive.extractall(tmp_path / "out")
    code, told = check(tmp_path / "out")
    assert code == 0
    assert any("was no longer there when the archive was made" in line for line in told)


def test_a_picture_that_was_altered_is_told_when_it_is_packed_and_found_by_whoever_checks(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        job = with_job(desk)
        kept = keep(desk.path, take(tmp_path / "a.jpg"))
        desk.say(PhotoKept(digest=kept.digest))
        assert evidence(desk, job, tmp_path / "e.zip").altered == []
        kept.path.write_bytes(take(tmp_path / "forged.jpg", shade=90).read_bytes())
        (told,) = evidence(desk, job, tmp_path / "e.zip").altered
    assert f"{kept.digest}.jpg is not what was kept" in told
    with zipfile.ZipFile(tmp_path / "e.zip") as archive:
        archive.extractall(tmp_path / "out")
    assert check(tmp_path / "out")[0] == 1


def test_two_benches_in_one_job_are_read_in_their_order(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        job = with_job(desk)
        with desk.journal.writing() as writing:
            for bench in ("ZZ", desk.bench, "ZZ"):
                writing.say(PartRemoved(part="p", name="p"), who="ann", job=job, bench=bench)
        made, printed = evidence(desk, job, tmp_path / "e.zip"), desk.digest()
        numbers = " ".join(f"{bench}.{head.number}" for bench, head in desk.heads().items())
    with zipfile.ZipFile(made.path) as archive:
        archive.extractall(tmp_path / "out")
    for typed in (printed, f"{printed} {numbers}"):
        code, told = check(tmp_path / "out", "--paper", typed)
        assert code == 0, told
        assert "       4 of the 4 entries of this job; 0 in all came after it" in told


def test_what_stood_there_stays_until_the_new_archive_is_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(part: Path, path: Path) -> None:
        raise OSError(28, "No space left on device")

    with desk_in(tmp_path / "shop") as desk:
        job = with_job(desk)
        (tmp_path / "e.zip").write_text("the last one")
        with pytest.raises(Refused, match="no job"):
            evidence(desk, "XX-1", tmp_path / "e.zip")
        monkeypatch.setattr(durable, "into_place", fail)
        with pytest.raises(Trouble, match="full"):
            evidence(desk, job, tmp_path / "e.zip")
    assert (tmp_path / "e.zip").read_text() == "the last one"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["e.zip", "shop"]


# tampered with


def numbered(body: bytes, old: int, new: int) -> bytes:
    return body.replace(f'"number":{old}'.encode(), f'"number":{new}'.encode())


def entries(change: Callable[[list[bytes]], list[bytes]]) -> Callable[[Files], Files]:
    def tamper(files: Files) -> Files:
        return {**files, "entries.jsonl": b"".join(change(files["entries.jsonl"].splitlines(keepends=True)))}

    return tamper


def in_file(name: str, old: bytes, new: bytes) -> Callable[[Files], Files]:
    def tamper(files: Files) -> Files:
        (found,) = [each for each in files if each.startswith(name)]
        assert old in files[found]
        return {**files, found: files[found].replace(old, new)}

    return tamper


def without(name: str) -> Callable[[Files], Files]:
    return lambda files: {each: content for each, content in files.items() if not each.startswith(name)}


def chain(change: Callable[[list[bytes]], list[bytes]]) -> Callable[[Files], Files]:
    def tamper(files: Files) -> Files:
        (name,) = [each for each in files if each.startswith("chain/")]
        return {**files, name: b"".join(change(files[name].splitlines(keepends=True)))}

    return tamper


def another_hash(link: bytes) -> bytes:
    number, clock, _, *rest = link.split(b" ")
    return b" ".join([number, clock, b"0" * 64, *rest])


def another_clock(link: bytes, change: int) -> bytes:
    number, clock, *rest = link.split(b" ")
    return b" ".join([number, str(int(clock) + change).encode(), *rest])


def unmarked(files: Files) -> Files:
    """An entry taken out whose line says that it is another job's."""
    files = entries(lambda e: e[:2] + e[3:])(files)
    return chain(lambda c: [*c[:2], c[2].replace(b" *\n", b" .\n"), *c[3:]])(files)


# Each made with a list that fits: what is found is found by the chain, the digest or the seal.
WITH_CARE = {
    "edited body": (entries(lambda e: [each.replace(b'"pan"', b'"pin"') for each in e]), ".3 was altered"),
    "removed entry": (entries(lambda e: e[:2] + e[3:]), ".3 of this job was taken out"),
    "removed last entry": (entries(lambda e: e[:-1]), ".8 of this job was taken out"),
    "swapped lines": (entries(lambda e: [e[0], e[2], e[1], *e[3:]]), ".2 is not in its place"),
    "swapped numbers": (
        entries(lambda e: [*e[:2], numbered(e[2], 3, 4), numbered(e[3], 4, 3), *e[4:]]),
        ".4 was altered",
    ),
    "an entry twice": (entries(lambda e: [*e[:3], e[2], *e[3:]]), ".3 is there twice"),
    "an entry put in": (
        entries(lambda e: [*e, numbered(e[-1], 8, 9)]),
        ".9 was put in",
    ),
    "no entry": (entries(lambda e: [*e, b"[]\n"]), "line 7 of entries.jsonl is no entry"),
    "no entries": (without("entries.jsonl"), ".1 of this job was taken out"),
    "other words of the customer": (in_file("customer.jsonl", b"Jo", b"Bo"), "details of"),
    "changed picture": (in_file("photos/", b"picture", b"forgery"), "is not the picture that"),
    "removed picture": (without("photos/"), "names was taken out"),
    "changed PDF": (in_file("record.pdf", b"%PDF", b"%PDG"), "the seal written down is"),
    "changed page": (in_file("README.txt", b"EVIDENCE", b"Evidence"), "the seal written down is"),
    "cut chain": (chain(lambda c: c[:-1]), ".7 and not with its head"),
    "gap in the chain": (chain(lambda c: c[:4] + c[5:]), ".5 is missing from the chain"),
    "no chain": (without("chain/"), "and not with its head"),
    "rewritten line": (chain(lambda c: [*c[:4], another_hash(c[4]), *c[5:]]), ".6 does not follow"),
    "another clock": (chain(lambda c: [*c[:-1], another_clock(c[-1], 1)]), ".8 says something else of itself"),
    "a clock that went back": (chain(lambda c: [*c[:4], another_clock(c[4], -99), *c[5:]]), ".5 has a clock that went"),
    "changed head": (in_file("heads.json", b'"number": 8', b'"number": 7'), "and not with its head"),
    "heads that are none": (in_file("heads.json", b'"heads"', b'"hands"'), "heads.json cannot be read"),
    "left out with its mark": (unmarked, ".3 was left out of the archive"),
}  # fmt: skip

# Each with the list as it was, or changed without care.
WITHOUT_CARE = {
    "edited body": (WITH_CARE["edited body"][0], "entries.jsonl was altered, or its line in SHA256SUMS"),
    "changed PDF": (WITH_CARE["changed PDF"][0], "record.pdf was altered, or its line in SHA256SUMS"),
    "changed picture": (WITH_CARE["changed picture"][0], ".jpg was altered, or its line in SHA256SUMS"),
    "removed PDF": (without("record.pdf"), "record.pdf is missing"),
    "added file": (lambda f: {**f, "more.txt": b""}, "more.txt is not in the list SHA256SUMS"),
    "changed list": (in_file("SHA256SUMS", b"  record.pdf", b"  record.pdx"), "record.pdf is not in the list"),
    "changed sum": (lambda f: {**f, "SHA256SUMS": b"0" * 64 + f["SHA256SUMS"][64:]}, "README.txt was altered, or its"),
    "line twice": (lambda f: {**f, "SHA256SUMS": f["SHA256SUMS"] * 2}, "SHA256SUMS was altered"),
    "nonsense in the list": (lambda f: {**f, "SHA256SUMS": f["SHA256SUMS"] + b"x\n"}, "SHA256SUMS was altered"),
    "no list": (without("SHA256SUMS"), "SHA256SUMS is missing"),
}  # fmt: skip


@pytest.mark.parametrize(("tamper", "named"), WITH_CARE.values(), ids=WITH_CARE.keys())
def test_tampering_under_a_list_that_fits_is_found_and_named(
    case: Case, tamper: Callable[[Files], Files], named: str, tmp_path: Path
) -> None:
    before = listed(case.files())
    after = listed(tamper(before))
    assert after != before
    code, told = check(
        unpacked(after, tmp_path), "--seal", case.made.seal, "--paper", case.made.digest, "--journal", case.dump
    )
    assert code == 1
    assert any(named in line for line in wrong(told)), told


@pytest.mark.parametrize(("tamper", "named"), WITHOUT_CARE.values(), ids=WITHOUT_CARE.keys())
def test_tampering_without_care_is_found_by_the_script_alone(
    case: Case, tamper: Callable[[Files], Files], named: str, tmp_path: Path
) -> None:
    code, told = check(unpacked(tamper(case.files()), tmp_path))
    assert code == 1
    assert any(named in line for line in wrong(told)), told


def test_a_chain_rewritten_from_an_entry_on_is_found_by_paper(case: Case, tmp_path: Path) -> None:
    """Everything made to fit, the workshop's own doing: only what was printed before shows it."""
    files = case.files()
    forged, links, before = [], [], "-"
    rewritten: dict[int, bytes] = {}
    for line in case.dump.read_bytes().splitlines():
        body = line
        if b"details_of" in body:
            continue
        entry = json.loads(body)
        body = body.replace(b'"pan"', b'"pin"').replace(
            f'"previous":"{entry["previous"]}"'.encode(), f'"previous":"{"" if before == "-" else before}"'.encode()
        )
        hashed = hashlib.sha256(body).hexdigest()
        ours = entry["job"] == case.job
        links.append(f"{entry['number']} {entry['hlc']} {hashed} {before} {'*' if ours else '.'}\n")
        rewritten[entry["number"]] = body
        forged += [body + b"\n"] if ours else []
        before = hashed
    about = json.loads(files["heads.json"])
    about["heads"][case.bench]["hash"] = before
    files = listed(
        {
            **files,
            "entries.jsonl": b"".join(forged),
            f"chain/{case.bench}.txt": "".join(links).encode(),
            "heads.json": json.dumps(about).encode(),
        }
    )
    folder = unpacked(files, tmp_path)
    assert check(folder)[0] == 0
    code, told = check(folder, "--paper", case.paper)
    assert code == 1
    assert [line for line in wrong(told) if "stands for no moment of these chains" in line]


@pytest.mark.parametrize(
    ("tamper", "named"),
    [
        (lambda d: [each.replace(b'"hub"', b'"tub"') for each in d], ".6 in"),
        (lambda d: d[:-1], "ends before"),
        (lambda d: d[:5] + d[6:], "where the chain has"),
        (lambda d: [*d, b"[]\n"], "has a line that is no entry"),
    ],
    ids=["another job's entry edited", "cut", "one left out", "no entry"],
)
def test_a_journal_that_is_not_the_one_in_the_chains_is_told(
    case: Case, tamper: Callable[[list[bytes]], list[bytes]], named: str, tmp_path: Path
) -> None:
    dump = tmp_path / "all.jsonl"
    dump.write_bytes(b"".join(tamper(case.dump.read_bytes().splitlines(keepends=True))))
    code, told = check(unpacked(case.files(), tmp_path / "out"), "--journal", dump)
    assert code == 1
    assert any(named in line for line in wrong(told)), told


def test_what_was_said_after_the_archive_was_made_is_no_fault_of_the_journal(case: Case, tmp_path: Path) -> None:
    later = json.loads(case.bodies[-1])
    dump = tmp_path / "all.jsonl"
    dump.write_bytes(case.dump.read_bytes() + json.dumps({**later, "number": 9}).encode() + b"\n")
    assert check(unpacked(case.files(), tmp_path / "out"), "--journal", dump)[0] == 0


def test_a_file_twice_in_the_archive_is_named(case: Case, tmp_path: Path) -> None:
    copy = tmp_path / "twice.zip"
    copy.write_bytes(case.made.path.read_bytes())
    with zipfile.ZipFile(copy, "a") as archive, pytest.warns(UserWarning, match="Duplicate"):
        archive.writestr("record.pdf", case.files()["record.pdf"])
    unpacked({"verify.py": case.files()["verify.py"]}, tmp_path)
    code, told = check(tmp_path, copy)
    assert (code, wrong(told)) == (1, ["record.pdf is in the archive twice"])


def test_a_damaged_archive_is_told_in_words(case: Case, tmp_path: Path) -> None:
    data = bytearray(case.made.path.read_bytes())
    with zipfile.ZipFile(case.made.path) as archive:
        at = archive.getinfo("record.pdf").header_offset + 500
    data[at] ^= 0xFF
    (tmp_path / "bad.zip").write_bytes(data)
    unpacked({"verify.py": case.files()["verify.py"]}, tmp_path)
    code, told = check(tmp_path, tmp_path / "bad.zip")
    assert code == 1
    assert any("record.pdf" in line for line in wrong(told))


def test_what_is_no_archive_is_told(case: Case, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "no.zip").write_text("no")
    assert check_archive.main([str(tmp_path / "no.zip")]) == 2
    assert "There is nothing to check" in capsys.readouterr().err


def test_nothing_in_an_archive_moves_the_cursor(case: Case, tmp_path: Path) -> None:
    files = case.files()
    files["\u202eno\x1b[2J"] = b""
    code, told = check(unpacked(files, tmp_path))
    assert code == 1
    assert all(line.isprintable() for line in told)


def test_an_archive_goes_into_a_pipe_as_it_is_and_where_a_link_leads(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop", Wall()) as desk:
        job = with_job(desk)
        pipe, link = tmp_path / "pipe", tmp_path / "link.zip"
        os.mkfifo(pipe)
        link.symlink_to(tmp_path / "target.zip")
        got: list[bytes] = []
        reader = threading.Thread(target=lambda: got.append(pipe.read_bytes()))
        reader.start()
        evidence(desk, job, pipe)
        reader.join()
        assert pipe.is_fifo()
        evidence(desk, job, link)
        assert link.is_symlink()
        for archive in (BytesIO(got[0]), tmp_path / "target.zip"):
            with zipfile.ZipFile(archive) as read:
                assert read.testzip() is None
                assert "record.pdf" in read.namelist()
        with pytest.raises(Refused, match="the record is kept in"):
            evidence(desk, job, tmp_path / "shop" / "shop.db")
