"""Cards of codes on A6 pages."""

from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pytest
import zxingcpp
from pypdf import PdfReader

from labels.card import COLUMNS, ROWS, Card, cards
from labels.code import Kind, grouped, make
from tests.labels.test_sheet import rendered

WHEN = datetime(2026, 3, 4, 16, 55, tzinfo=UTC)
FULL = Card("Everything", [(make(Kind.ACTION, "BB", n), f"WORD {n}") for n in range(COLUMNS * ROWS)])


@pytest.mark.parametrize("dpi", [300, 600])
def test_every_code_of_a_full_card_is_read_from_paper(dpi: int, tmp_path: Path) -> None:
    (page,) = rendered(cards([FULL], WHEN), tmp_path, dpi)
    assert abs(page.width / dpi * 25.4 - 105) < 0.5
    assert abs(page.height / dpi * 25.4 - 148) < 0.5
    assert sorted(found.text for found in zxingcpp.read_barcodes(page)) == sorted(code for code, _ in FULL.codes)


def test_no_two_codes_are_so_near_that_a_scanner_over_one_sees_its_neighbour(tmp_path: Path) -> None:
    (page,) = rendered(cards([FULL], WHEN), tmp_path, 300)
    corners = [found.position.top_left for found in zxingcpp.read_barcodes(page)]
    nearest = min(max(abs(a.x - b.x), abs(a.y - b.y)) for n, a in enumerate(corners) for b in corners[:n])
    assert nearest / 300 * 25.4 > 20  # mm, from symbol to symbol


def test_each_code_stands_with_its_word_and_its_letters() -> None:
    pdf = PdfReader(BytesIO(cards([FULL, Card("Numbers", FULL.codes[:1])], WHEN)))
    first, second = (page.extract_text() for page in pdf.pages)
    assert all(word in first and grouped(code) in first for code, word in FULL.codes)
    assert "Numbers" in second


def test_the_same_cards_are_the_same_bytes() -> None:
    assert cards([FULL], WHEN) == cards([FULL], WHEN)


def test_more_codes_than_there_is_room_for_are_refused_by_the_card_s_name() -> None:
    with pytest.raises(ValueError, match="Everything: 16 codes, a card has room for 15"):
        cards([FULL._replace(codes=[*FULL.codes, FULL.codes[0]])], WHEN)
