"""Sheets for an office printer: the same dots, at their own size, cut marks between."""

import os
import shutil
import subprocess
import sys
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image, ImageChops
from pypdf import PdfReader

from labels.code import Kind, make
from labels.label import Label
from labels.picture import DOTS_A_MODULE, SIZES, Size, picture
from labels.sheet import png, sheet

WHEN = datetime(2026, 3, 4, 16, 55, tzinfo=UTC)
LABELS = [Label(make(Kind.BAG, "KD", n), f"Bag {n}", "AB12 CDE · J-0142", ("4 × M10x1.25",)) for n in range(40)]
every_size = pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)


def rendered(pdf: bytes, folder: Path, dpi: int) -> list[Image.Image]:
    """The pages as poppler, which shares no code with the writer, draws them."""
    if shutil.which("pdftoppm") is None:
        if os.environ.get("CI"):
            pytest.fail("pdftoppm is missing: install poppler-utils")
        pytest.skip("pdftoppm (poppler-utils) is not installed")
    (folder / "sheet.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-gray", "-r", str(dpi), "sheet.pdf", "page"], cwd=folder, check=True)
    return [Image.open(BytesIO(page.read_bytes())) for page in sorted(folder.glob("page*.pgm"))]


@every_size
@pytest.mark.parametrize("dpi", [300, 600])
def test_every_label_of_a_sheet_is_read_twice_from_paper(size: Size, dpi: int, tmp_path: Path) -> None:
    labels = LABELS[: 7 if dpi == 600 else 40]
    pages = rendered(sheet(labels, size, "Job J-0142", WHEN), tmp_path, dpi)
    found = [code.text for page in pages for code in zxingcpp.read_barcodes(page)]
    assert sorted(found) == sorted([label.code for label in labels] * 2)


@every_size
def test_the_dots_on_the_sheet_are_those_of_the_label(size: Size, tmp_path: Path) -> None:
    """0 differing dots. Only at 300: poppler smooths what it enlarges, printers do not."""
    (page,) = rendered(sheet(LABELS[:1], size, "Job J-0142", WHEN), tmp_path, 300)
    expected = picture(LABELS[0], size, 300).convert("L")
    x, y = (
        min(getattr(found.position.top_left, axis) for found in zxingcpp.read_barcodes(page))
        - min(getattr(found.position.top_left, axis) for found in zxingcpp.read_barcodes(expected))
        for axis in "xy"
    )
    differing = [
        ImageChops.difference(page.crop((left, top, left + expected.width, top + expected.height)), expected)
        for left in range(x - 2, x + 3)  # the reader places a corner to about a dot
        for top in range(y - 2, y + 3)
    ]
    assert any(image.getbbox() is None for image in differing)


@every_size
def test_labels_keep_their_size_and_do_not_touch(size: Size) -> None:
    reader = PdfReader(BytesIO(sheet(LABELS, size, "Job J-0142", WHEN)))
    assert [float(side) * 25.4 / 72 for side in reader.pages[0].mediabox[2:]] == pytest.approx([210, 297], abs=0.05)
    assert f"page 1 of {len(reader.pages)}" in reader.pages[0].extract_text()
    assert "100 %" in reader.pages[0].extract_text()


def test_a_long_or_foreign_title_leaves_date_and_page_on_the_paper() -> None:
    reader = PdfReader(BytesIO(sheet(LABELS[:1], SIZES["tag"], "传动轴 " + "Propeller shaft " * 20, WHEN)))
    assert "2026-03-04 16:55   page 1 of 1" in reader.pages[0].extract_text()


def test_the_same_sheet_is_the_same_bytes() -> None:
    """Its only date is the one it was given."""
    once = sheet(LABELS[:3], SIZES["62x29"], "Job", WHEN)
    assert once == sheet(LABELS[:3], SIZES["62x29"], "Job", WHEN)
    metadata = PdfReader(BytesIO(once)).metadata
    assert metadata is not None
    assert metadata.creation_date == WHEN


def test_an_empty_sheet_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="no labels"):
        sheet([], SIZES["62x29"], "Job", WHEN)


@pytest.mark.parametrize("dpi", DOTS_A_MODULE)
def test_a_png_prints_at_its_own_size(dpi: int) -> None:
    image = Image.open(BytesIO(png(LABELS[0], SIZES["50x25"], dpi)))
    assert image.info["dpi"] == pytest.approx((dpi, dpi), abs=0.1)
    assert image.mode == "1"
    assert image.tobytes() == picture(LABELS[0], SIZES["50x25"], dpi).tobytes()


def test_importing_labels_loads_no_picture_library() -> None:
    asked = (
        "import sys, labels.code, labels.label, labels.lettering, labels.picture, labels.sheet;"
        "print(*sorted({'PIL', 'qrcode', 'fpdf', 'fontpkg_noto_sans'} & sys.modules.keys()))"
    )
    done = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []


def test_how_many_labels_are_drawn_is_told_of_how_many_there_are() -> None:
    heard: list[tuple[int, int]] = []
    words = "4 Mar 2026 16:55"
    drawn = sheet(LABELS[:12], SIZES["50x25"], "Van 7", WHEN, words, lambda *far: heard.append(far))
    assert heard == [(n, 12) for n in range(1, 13)]
    assert words in PdfReader(BytesIO(drawn)).pages[0].extract_text()
