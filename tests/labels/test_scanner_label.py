"""The scanner label: every key, read back from every stock at every resolution."""

import pytest
import zxingcpp
from PIL import Image, ImageChops, ImageFilter

from labels.keyboard import KEYS, learn
from labels.picture import DOTS_A_MODULE, SIZES, Size
from labels.scanner_label import scanner_label

every_picture = pytest.mark.parametrize(
    ("size", "dpi"),
    [pytest.param(size, dpi, id=f"{size.title}-{dpi}") for size in SIZES.values() for dpi in DOTS_A_MODULE],
)


@every_picture
def test_every_key_is_read(size: Size, dpi: int) -> None:
    image = scanner_label(size, dpi)
    assert (image.mode, image.size) == ("1", size.dots(dpi))
    (found,) = zxingcpp.read_barcodes(image.convert("L").filter(ImageFilter.GaussianBlur(0.1 * dpi / 25.4)))
    assert (found.text, found.ec_level) == (KEYS, "H")
    assert learn(found.text) is not None


@every_picture
def test_its_words_stay_on_the_label_and_off_the_symbol(size: Size, dpi: int) -> None:
    image = scanner_label(size, dpi)
    side = 41 * DOTS_A_MODULE[dpi]
    words = ImageChops.invert(image.convert("L")).crop((0, 0, image.width - side, image.height)).getbbox()
    assert words is not None
    assert words[0] > size.hole * dpi / 25.4
    assert 0 < words[1] < words[3] < image.height
    quiet = image.crop((image.width - side, 0, image.width - side + 4 * DOTS_A_MODULE[dpi], image.height))
    assert ImageChops.invert(quiet.convert("L")).getbbox() is None


def test_stock_that_is_too_low_and_another_resolution_are_refused_in_words() -> None:
    with pytest.raises(ValueError, match="does not fit on strip"):
        scanner_label(Size("strip", 60, 12, name=3, text=1.6), 203)
    with pytest.raises(ValueError, match="203 or 300"):
        scanner_label(SIZES["62x29"], 600)


def test_the_symbol_has_whole_dots() -> None:
    for dpi, dots in DOTS_A_MODULE.items():
        image = scanner_label(SIZES["62x29"], dpi)
        side = 41 * dots
        top = (image.height - side) // 2
        there = image.crop((image.width - side, top, image.width, top + side)).convert("L")
        small = there.resize((41, 41), Image.Resampling.NEAREST)
        assert ImageChops.difference(small.resize(there.size, Image.Resampling.NEAREST), there).getbbox() is None
