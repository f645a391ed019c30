"""A card that wears out changes pages anywhere: every one is told in a sentence, by whatever comes across it first."""

from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from reassembly.job.entries import BagPacked, CustomerNamed, JobOpened, PartRemoved, PersonAdded, PhotoKept
from reassembly.record import lines, verifying
from reassembly.record.customer import Customer
from reassembly.record.desk import Desk
from reassembly.record.gathering import gather
from reassembly.record.trouble import Trouble
from tests.record.bench import desk_in

PAGE = 4096
Damage = Callable[[bytearray, Random], None]


def zeroed(page: bytearray, _: Random) -> None:
    page[:] = bytes(PAGE)


def strewn(page: bytearray, chance: Random) -> None:
    page[:] = chance.randbytes(PAGE)


def half_torn(page: bytearray, chance: Random) -> None:
    page[PAGE // 2 :] = chance.randbytes(PAGE // 2)


def three_bytes(page: bytearray, chance: Random) -> None:
    for _ in range(3):
        page[chance.randrange(PAGE)] = chance.randrange(256)


def sixty_bits(page: bytearray, chance: Random) -> None:
    for _ in range(60):
        page[chance.randrange(PAGE)] ^= 1 << chance.randrange(8)


def sixty_bytes_of_content(page: bytearray, chance: Random) -> None:
    """The end of a page has the words, its beginning the tree: SQLite finds fault with that."""
    for _ in range(60):
        page[chance.randrange(PAGE // 2, PAGE)] = chance.randrange(256)


WAYS: list[Damage] = [zeroed, strewn, half_torn, three_bytes, sixty_bits, sixty_bytes_of_content]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, str]:
    """A journal as a file, and one of its jobs."""
    folder = tmp_path_factory.mktemp("whole")
    with desk_in(folder) as desk:
        desk.say(PersonAdded(person="ann"))
        for registration in ("4TN 881", "4TN 882"):
            job = desk.open_new(JobOpened(vehicle="Kestrel van", registration=registration, complaint="whine"))
            desk.say(CustomerNamed(digest=""), details=Customer(name="Jo Müller", phone="01632 960001"))
            for n, letter in enumerate("BCDFGHJK"):
                desk.say(PartRemoved(part=f"p{n}", name=f"part {n}"))
                desk.say(BagPacked(bag=f"BCDFGHJKL{letter}", parts=(f"p{n}",)))
                desk.say(PhotoKept(digest=f"{n}" * 64, part=f"p{n}"))
    return (folder / "shop.db").read_bytes(), job


def looks(desk: Desk, job: str) -> list[Callable[[], object]]:
    return [
        lambda: desk.job(job).opened,
        lambda: gather(desk, job),
        desk.shop,
        desk.jobs,
        lambda: desk.jobs("4tn881"),
        lambda: desk.jobs("muller"),
        lambda: desk.parts_named("p"),
        lambda: desk.owner_of("BCDFGHJKLB"),
        lambda: desk.recall("batch", "7731"),
        lambda: list(lines.dump(desk.journal, details=True)),
        desk.verify,
        lambda: verifying.verify(desk.journal, whole=True),
        lambda: desk.say(PartRemoved(part="late", name="late"), job=job),
        lambda: desk.open_new(JobOpened(vehicle="another")),
    ]


@pytest.mark.parametrize("damage", WAYS, ids=lambda damage: damage.__name__)
def test_no_page_that_is_damaged_gives_more_than_a_sentence(
    damage: Damage, whole: tuple[bytes, str], tmp_path: Path
) -> None:
    data, job = whole
    chance = Random(20_260_314)
    told: list[str] = []
    for number in range(len(data) // PAGE):
        page = bytearray(data[number * PAGE : (number + 1) * PAGE])
        damage(page, chance)
        folder = tmp_path / f"{number}"
        folder.mkdir()
        (folder / "shop.db").write_bytes(data[: number * PAGE] + page + data[(number + 1) * PAGE :])
        try:
            with desk_in(folder) as desk:
                for look in looks(desk, job):
                    try:
                        look()
                    except Trouble as trouble:
                        told.append(str(trouble))
        except Trouble as trouble:
            told.append(str(trouble))
    assert told
    assert all(sentence.endswith((".", "?")) for sentence in told)


def test_a_page_that_nobody_could_have_written_is_found_by_verify(whole: tuple[bytes, str], tmp_path: Path) -> None:
    data, _ = whole
    at = data.index(b'"Kestrel van"') + 3
    (tmp_path / "shop.db").write_bytes(data[:at] + b"\xff\xfe" + data[at + 2 :])
    with desk_in(tmp_path) as desk:
        assert any("was altered" in found for found in desk.verify())
