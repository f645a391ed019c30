"""Dots: whole modules, quiet zones, letters of the promised height, nothing at the edge and nothing cut in silence."""

import pytest
import zxingcpp
from PIL import Image, ImageChops

from labels.code import ALPHABET, Kind, grouped, make
from labels.label import Label
from labels.lettering import REGULAR, WIDTHS, Row, face
from labels.picture import DOTS_A_MODULE, SIZES, Size, picture, places, symbol

CODE = make(Kind.BAG, "KD", 517)
HOSTILE = {
    "ordinary": Label(CODE, "Flange bolts", "AB12 CDE · J-0142", ("4 × M10x1.25 10.9, renew",), "copy 2"),
    "bare": Label(CODE, ""),
    "long": Label(CODE, "Propeller shaft " * 13, "AB12 CDE " * 20, ("long bolts " * 30,) * 9, "copy 2 " * 9),
    "one long word": Label(CODE, "W" * 200, "W" * 200, ("W" * 200,) * 3, "W" * 200),
    "foreign": Label(CODE, "传动轴法兰螺栓" * 30, "ציר הינע", ("نص عربي", "\u202eabc", "🙂" * 99), "复印"),
    "tall and deep": Label(CODE, "ẤỘǺĢÇpgj" * 3, "ẤỘǺ gjp", ("ẤỘǺgjp",) * 9, "Ģjp"),
}
every_picture = pytest.mark.parametrize(
    ("size", "dpi"),
    [pytest.param(size, dpi, id=f"{size.title}-{dpi}") for size in SIZES.values() for dpi in DOTS_A_MODULE],
)
every_label = pytest.mark.parametrize("label", HOSTILE.values(), ids=HOSTILE)


@every_picture
@every_label
def test_both_symbols_stand_untouched_in_whole_dots_and_are_read(label: Label, size: Size, dpi: int) -> None:
    image = picture(label, size, dpi)
    assert (image.mode, image.size) == ("1", size.dots(dpi))
    drawn = symbol(label.code, DOTS_A_MODULE[dpi])
    for x, y in places(size, dpi).symbols:
        there = image.crop((x, y, x + drawn.width, y + drawn.height))
        assert there.size == drawn.size
        assert ImageChops.logical_xor(there, drawn).getbbox() is None
    found = zxingcpp.read_barcodes(image.convert("L"))
    assert [(one.text, one.format) for one in found] == [(CODE, zxingcpp.BarcodeFormat.QRCode)] * 2


@every_picture
@every_label
def test_nothing_is_cut_by_the_edge_or_printed_over_the_hole(label: Label, size: Size, dpi: int) -> None:
    ink = _ink(picture(label, size, dpi)).getbbox()
    assert ink is not None
    width, height = size.dots(dpi)
    assert ink[0] > size.hole * dpi / 25.4
    assert ink[1] >= 1
    assert ink[2] < width
    assert ink[3] < height


@every_picture
def test_the_code_in_letters_is_four_millimetres_high(size: Size, dpi: int) -> None:
    box = places(size, dpi).code
    letters = _ink(picture(Label(make(Kind.BAG, "LT", 0), ""), size, dpi)).crop(
        (box.left, box.top - 20, box.left + 60, size.dots(dpi)[1])
    )
    tall = letters.getbbox()  # B and L, flat above and below
    assert tall is not None
    assert (tall[3] - tall[1]) * 25.4 / dpi >= 4.0


@every_picture
def test_the_code_in_letters_is_whole_whatever_stands_beside_it(size: Size, dpi: int) -> None:
    box = places(size, dpi).code
    for letter in ALPHABET:
        narrowest = Row(grouped(letter * 10), face(box.bottom - box.top, REGULAR, WIDTHS[-1]))
        assert narrowest.length < box.width * 0.9  # so that a footer has room as well


@pytest.mark.parametrize("size", SIZES.values(), ids=SIZES)
def test_half_a_millimetre_a_module_and_four_modules_of_quiet(size: Size) -> None:
    for dpi, dots in DOTS_A_MODULE.items():
        assert dots * 25.4 / dpi == pytest.approx(0.5, abs=0.01)
        drawn = symbol(CODE, dots)
        assert drawn.size == (29 * dots, 29 * dots)
        assert _ink(drawn).getbbox() == (4 * dots, 4 * dots, 25 * dots, 25 * dots)
        small = drawn.resize((29, 29), Image.Resampling.NEAREST)
        assert ImageChops.logical_xor(small.resize(drawn.size, Image.Resampling.NEAREST), drawn).getbbox() is None


def test_the_symbol_is_the_smallest_with_the_most_repair() -> None:
    (found,) = zxingcpp.read_barcodes(symbol(CODE, 4).convert("L"))
    assert (found.text, found.ec_level) == (CODE, "H")
    assert symbol(CODE, 1).size == (21 + 8, 21 + 8)


def test_the_same_label_is_the_same_picture() -> None:
    label = HOSTILE["ordinary"]
    assert picture(label, SIZES["tag"], 203).tobytes() == picture(label, SIZES["tag"], 203).tobytes()


def test_words_change_the_picture() -> None:
    """Each field is drawn: taking one away leaves another picture."""
    full = ("Flange bolts", "AB12 CDE", ("renew",), "copy 2")
    pictures = {picture(Label(CODE, *full), SIZES["62x29"], 203).tobytes()}
    for place, nothing in enumerate(("", "", (), "")):
        fields = (*full[:place], nothing, *full[place + 1 :])
        pictures.add(picture(Label(CODE, *fields), SIZES["62x29"], 203).tobytes())  # type: ignore[arg-type]
    assert len(pictures) == 5


def test_a_resolution_without_whole_modules_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="203 or 300"):
        picture(HOSTILE["bare"], SIZES["62x29"], 600)


def _ink(image: Image.Image) -> Image.Image:
    return ImageChops.invert(image.convert("L"))
