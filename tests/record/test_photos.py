"""Photos: upright, once, without a word about place or person; whole on the disk or not there."""

import hashlib
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from reassembly.job.entries import PhotoKept
from reassembly.record import durable, photos, pictures, verifying
from reassembly.record.photos import Kept, find, keep
from reassembly.record.trouble import Refused, Trouble
from reassembly.record.watched import Watch
from tests.record.bench import desk_in, with_job
from tests.record.camera import HEIC, SECRET, bomb, near, seen, take, taken


def kept_files(folder: Path) -> list[str]:
    return sorted(path.name for path in (folder / "photos").iterdir()) if (folder / "photos").exists() else []


# what is kept


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("orientation", [0, 1, 2, 3, 4, 5, 6, 7, 8])
def test_it_is_kept_upright_whichever_way_the_camera_was_held(orientation: int, kind: str, tmp_path: Path) -> None:
    source = take(tmp_path / "IMG_1.jpg", orientation=orientation, kind=kind)
    kept = keep(tmp_path / "shop", source)
    assert near(seen(kept.path))
    with Image.open(kept.path) as image:
        assert image.size == (48, 32)
        assert not image.getexif()


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_a_preview_of_the_file_from_the_camera_is_upright_too(orientation: int, tmp_path: Path) -> None:
    source = take(tmp_path / "IMG_1.jpg", orientation=orientation, width=480, height=320)
    rows = pictures.pixels(source, 30, 30)
    assert (len(rows[0]), len(rows)) == (30, 20)
    assert near([rows[5][7], rows[5][22], rows[15][7], rows[15][22]])


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_place_person_comment_and_profile_are_left_behind(kind: str, tmp_path: Path) -> None:
    source = take(tmp_path / "IMG_1", kind=kind, secrets=True)
    assert SECRET in source.read_bytes()
    data = keep(tmp_path / "shop", source).path.read_bytes()
    for word in (
        SECRET,
        SECRET[:6],
        b"Exif",
        b"GPS",
        b"http://ns.adobe.com",
        b"iCCP",
        b"ICC_PROFILE",
        b"eXIf",
        b"tEXt",
    ):
        assert word not in data


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("2026:03:14 16:50:09", "2026-03-14T16:50"),
        ("0000:00:00 00:00:00", ""),
        ("next tuesday at noon", ""),
        ("", ""),
    ],
)
def test_when_it_was_taken_is_read_before_it_is_left_behind(written: str, told: str, tmp_path: Path) -> None:
    kept = keep(tmp_path / "shop", take(tmp_path / "a.jpg", when=written))
    assert kept.taken == told
    assert written.encode() not in kept.path.read_bytes() or not written


@pytest.mark.parametrize("quality", [40, 75, 97])
def test_a_photo_loses_next_to_nothing_and_grows_no_larger(quality: int, tmp_path: Path) -> None:
    from PIL import ImageChops, ImageStat

    noise = Image.effect_noise((320, 240), 60).convert("RGB")  # what a JPEG keeps worst
    noise.save(tmp_path / "a.jpg", quality=quality)
    kept = keep(tmp_path / "shop", tmp_path / "a.jpg")
    with Image.open(tmp_path / "a.jpg") as was, Image.open(kept.path) as now:
        lost = ImageStat.Stat(ImageChops.difference(was.convert("RGB"), now.convert("RGB"))).mean
    assert max(lost) < 1  # of 255
    assert kept.path.stat().st_size < 1.1 * kept.size


def test_it_is_named_by_its_content_and_its_own_file_is_left_alone(tmp_path: Path) -> None:
    source = take(tmp_path / "DCIM" / "IMG_1.JPG")
    before = source.read_bytes(), source.stat().st_mtime_ns
    kept = keep(tmp_path / "shop", source)
    assert kept == Kept(
        hashlib.sha256(kept.path.read_bytes()).hexdigest(),
        hashlib.sha256(before[0]).hexdigest(),
        tmp_path / "shop" / "photos" / f"{kept.digest}.jpg",
        taken="",
        width=48,
        height=32,
        size=len(before[0]),
    )
    assert (source.read_bytes(), source.stat().st_mtime_ns) == before
    assert find(tmp_path / "shop", kept.digest) == kept.path
    assert kept.path.stat().st_mode & 0o077 == 0


def test_the_same_picture_twice_is_kept_once(tmp_path: Path) -> None:
    first = keep(tmp_path / "shop", take(tmp_path / "a.jpg"))
    inode = first.path.stat().st_ino
    assert keep(tmp_path / "shop", take(tmp_path / "another name.jpeg")) == first
    assert first.path.stat().st_ino == inode
    assert keep(tmp_path / "shop", take(tmp_path / "c.jpg", shade=30)).digest != first.digest
    assert len(kept_files(tmp_path / "shop")) == 2


def test_a_kept_file_that_was_damaged_is_whole_again_when_its_picture_comes_again(tmp_path: Path) -> None:
    source = take(tmp_path / "a.jpg")
    kept = keep(tmp_path / "shop", source)
    whole = kept.path.read_bytes()
    kept.path.write_bytes(whole[:100])
    assert keep(tmp_path / "shop", source).path.read_bytes() == whole


def test_what_a_power_cut_left_half_written_goes_with_the_next_photo(tmp_path: Path) -> None:
    (tmp_path / "shop" / "photos").mkdir(parents=True)
    (tmp_path / "shop" / "photos" / f"{'0' * 64}.jpg{durable.PART}").write_bytes(b"half")
    kept = keep(tmp_path / "shop", take(tmp_path / "a.jpg"))
    assert kept_files(tmp_path / "shop") == [kept.path.name]


def test_a_screenshot_with_clear_places_stays_a_png(tmp_path: Path) -> None:
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(tmp_path / "a.webp", lossless=True)
    kept = keep(tmp_path / "shop", tmp_path / "a.webp")
    assert kept.path.suffix == ".png"
    assert set(map(tuple, pictures.pixels(kept.path, 4, 4)[0])) == {(255, 255, 255)}


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16", "CMYK"])
def test_every_way_in_which_dots_are_written_can_be_kept(mode: str, tmp_path: Path) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    Image.new(mode, (20, 10)).save(tmp_path / "a", kind)
    kept = keep(tmp_path / "shop", tmp_path / "a")
    assert len(pictures.pixels(kept.path, 20, 10)) == 10


# what is refused


REFUSED = {
    "no picture": (b"%PDF-1.7 words", "is no picture in JPEG, PNG or WebP"),
    "nothing": (b"", "is no picture in JPEG, PNG or WebP"),
    "a GIF": (b"GIF89a" + b"\0" * 50, "is no picture in JPEG, PNG or WebP"),
    "HEIC": (HEIC, "set the phone to take JPEG"),
    "half a JPEG": (taken(400, 300)[:2000], "is broken or not yet copied to its end: copy it once more"),
    "half a PNG": (taken(kind="PNG")[:-60], "is broken or not yet copied to its end"),
    "a bomb": (bomb(30_000, 30_000), "has 30000 x 30000 pixels, more than 50 million"),
    "a long bomb": (bomb(60_000_000, 1), "has 60000000 x 1 pixels, more than 50 million"),
    "a liar": (bomb(6000, 6000), "is broken"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_cannot_be_kept_is_refused_in_one_sentence_and_leaves_nothing(what: str, tmp_path: Path) -> None:
    data, why = REFUSED[what]
    (tmp_path / "IMG_1.jpg").write_bytes(data)
    with pytest.raises(Refused, match=why) as refused:
        keep(tmp_path / "shop", tmp_path / "IMG_1.jpg")
    assert str(refused.value).startswith("IMG_1.jpg ")
    assert str(refused.value).endswith(" It was not kept.")
    assert kept_files(tmp_path / "shop") == []


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    with (tmp_path / "a.jpg").open("wb") as file:
        file.truncate(1 << 40)
    with pytest.raises(Refused, match="has 1048576 MB, more than 40"):
        keep(tmp_path / "shop", tmp_path / "a.jpg")


def test_what_is_no_file_is_refused_and_keeps_nobody_waiting(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.jpg")
    for name in ("pipe.jpg", "."):
        with pytest.raises(Refused, match="is no picture"):
            keep(tmp_path / "shop", tmp_path / name)
    (tmp_path / "link.jpg").symlink_to(take(tmp_path / "a.jpg"))
    with pytest.raises(Refused, match=r"^link.jpg is only a link to a file: name the picture itself. It was not kept."):
        keep(tmp_path / "shop", tmp_path / "link.jpg")
    with pytest.raises(Trouble, match="cannot be read"):
        keep(tmp_path / "shop", tmp_path / "gone.jpg")
    with pytest.raises(Refused, match="such a name"):
        keep(tmp_path / "shop", Path("a\0b"))


def test_a_file_that_grows_while_it_is_read_is_still_being_copied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = take(tmp_path / "a.jpg")
    fstat = os.fstat

    def looked_at(handle: int) -> os.stat_result:
        found = fstat(handle)
        with source.open("ab") as phone:
            phone.write(b"more")
        return found

    monkeypatch.setattr(os, "fstat", looked_at)
    with pytest.raises(Refused, match=r"a.jpg is still being copied: wait until it is there"):
        pictures.read(source)


@given(st.data())
def test_whatever_is_in_the_file_it_is_kept_or_refused(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    kind = data.draw(st.sampled_from(["JPEG", "PNG", "WEBP"]))
    whole = bytearray(taken(16, 16, orientation=6, kind=kind, secrets=True))
    for at, value in data.draw(st.lists(st.tuples(st.integers(0, len(whole) - 1), st.integers(0, 255)), max_size=9)):
        whole[at] = value
    end = data.draw(st.integers(len(whole) - 20, len(whole)))
    file = tmp_path_factory.getbasetemp() / "mutated.jpg"
    file.write_bytes(bytes(whole[:end]))
    for look in (lambda: pictures.upright(pictures.read(file), file), lambda: pictures.pixels(file, 9, 9)):
        try:
            look()
        except Refused as refused:
            assert str(refused).startswith("mutated.jpg ")  # noqa: PT017 - either will do


def test_a_full_disk_is_told_and_the_half_file_gives_its_room_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, data: bytes) -> None:
        path.with_name(path.name + durable.PART).write_bytes(data[:10])
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(durable, "put", full)
    with pytest.raises(Trouble, match="is full: make room on it"):
        keep(tmp_path / "shop", take(tmp_path / "a.jpg"))
    assert kept_files(tmp_path / "shop") == []


def test_the_last_room_is_left_for_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos, "_ROOM", 1 << 60)
    with pytest.raises(Trouble, match="has no room for pictures"):
        keep(tmp_path / "shop", take(tmp_path / "a.jpg"))
    assert kept_files(tmp_path / "shop") == []


# whole or not there

KILLED = """
import os, signal, sys
from pathlib import Path
from reassembly.job.entries import PhotoKept
from reassembly.record import durable
from reassembly.record.desk import Desk
from reassembly.record.photos import keep

shop, source, at = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
def die(*_):
    os.kill(os.getpid(), signal.SIGKILL)
if at == "half written":
    os.fsync = die
elif at == "not yet named":
    durable.into_place = die
elif at == "named":
    durable.sync = die
with Desk.open(shop, who="ann") as desk:
    kept = keep(shop, source)
    if at == "before its fact":
        die()
    desk.say(PhotoKept(digest=kept.digest, source=kept.source), sys.argv[4])
"""


@pytest.mark.parametrize("at", ["half written", "not yet named", "named", "before its fact"])
def test_killed_at_any_moment_no_photo_is_half_there_and_its_picture_still_waits(at: str, tmp_path: Path) -> None:
    shop, source = tmp_path / "shop", take(tmp_path / "card" / "IMG_1.jpg")
    with desk_in(shop) as desk:
        job = with_job(desk)
        (shop / "photos").mkdir()
    arguments = [sys.executable, "-c", KILLED, str(shop), str(source), at, job]
    assert subprocess.run(arguments, check=False).returncode == -signal.SIGKILL
    with desk_in(shop) as desk:
        assert not list(desk.job(job).said(PhotoKept))
        for name in kept_files(shop):
            assert name.endswith(durable.PART) or durable.sha256(shop / "photos" / name) == Path(name).stem
        assert verifying.verify(desk.journal, whole=True).found == []
        (waiting,) = Watch(shop, str(tmp_path / "card"), mounted=[]).look(desk.photo_sources())
        assert waiting.path == source
        kept = keep(shop, source)
        assert durable.sha256(kept.path) == kept.digest


# found, verified, on paper


@pytest.mark.parametrize("digest", ["../../shop", "", "/etc/passwd", "0" * 63, "A" * 64, "0" * 64 + "\n", "..\0"])
def test_an_entry_that_names_no_digest_leads_nowhere(digest: str, tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    for end in (".jpg", ".png"):
        (tmp_path / f"shop{end}").write_bytes(b"")
    assert find(tmp_path, digest) is None


def test_verify_names_a_photo_that_was_altered_or_is_gone(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        with_job(desk)
        several = [keep(desk.path, take(tmp_path / f"{n}.jpg", shade=20 * n)) for n in range(4)]
        entries = [desk.say(PhotoKept(digest=kept.digest, source=kept.source)) for kept in several]
        assert verifying.verify(desk.journal).found == []
        several[0].path.write_bytes(b"another picture")
        several[1].path.unlink()
        assert verifying.verify(desk.journal).found == []  # only what is new is read
        found = verifying.verify(desk.journal, whole=True).found
        assert found == [
            f"The picture {several[0].path.name} is not what was kept: it was altered or is damaged.",
            f"The picture that {entries[1].id} names is gone: bring it back from a backup.",
        ]
        several[3].path.write_bytes(b"")
        fifth = keep(desk.path, take(tmp_path / "5.jpg", shade=90))
        desk.say(PhotoKept(digest=fifth.digest))
        fifth.path.write_bytes(b"")
        assert verifying.verify(desk.journal).found == [
            f"The picture {fifth.path.name} is not what was kept: it was altered or is damaged."
        ]


def test_photos_of_another_bench_may_be_there(tmp_path: Path) -> None:
    with desk_in(tmp_path / "shop") as desk:
        job = with_job(desk)
        with desk.journal.writing() as writing:
            writing.say(PhotoKept(digest="0" * 64), who="ann", job=job, bench="ZZ")
        assert verifying.verify(desk.journal, whole=True).found == []
