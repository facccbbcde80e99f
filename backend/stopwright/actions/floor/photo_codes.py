"""Codes in a photo: a picture from a phone's camera, looked at in several ways until they are read."""

from collections.abc import Iterator

import zxingcpp
from PIL import Image, ImageFilter, ImageOps

from stopwright.actions.floor.photos import open_photo
from stopwright.actions.floor.scanning import code_in
from stopwright.errors import StopwrightError

OURS = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
ENOUGH = 2400
"""Pixels along the longer side that show every label a hand can hold before a camera."""
MOST_LABELS = 60
ROWS = 8
"""Labels in the same eighth of a photo's height count as side by side."""

SHARPENED = ((2, 300), (3, 300), (4, 500), (6, 500), (9, 500))
"""Unsharp masks for what is out of focus: radius in pixels, strength in percent. A module blurred by half its width
is read where the radius is about that of the blur; these are for modules of 4 to 18 pixels.
"""
BINARIZERS = (zxingcpp.Binarizer.LocalAverage, zxingcpp.Binarizer.GlobalHistogram)

_AGAIN = "take it again, nearer, in better light and with the label flat"


def codes_in_photo(photo: bytes) -> tuple[str, ...]:
    """The codes of pieces and offcuts in a photo, from the top left to the bottom right, each once.

    It is sharpened only where nothing is read without. Raises StopwrightError when it is no picture, is too large to
    open, or shows no code of ours.
    """
    picture = open_photo(photo, "L", ENOUGH)
    where: dict[str, tuple[int, float]] = {}
    strange = False
    for look in _looks(picture):
        strange = _take(look, zxingcpp.Binarizer.LocalAverage, where) or strange
    for look in _sharpened(picture):
        for binarizer in BINARIZERS:
            if not where and not strange:
                strange = _take(look, binarizer, where)
    if where:
        return tuple(sorted(where, key=lambda code: where[code]))[:MOST_LABELS]
    if strange:
        raise StopwrightError("the code in this photo is not one of our labels", next_step="take a photo of the label")
    raise StopwrightError("no code can be read in this photo", next_step=f"{_AGAIN}; or type the code beside it")


def _take(look: Image.Image, binarizer: zxingcpp.Binarizer, where: dict[str, tuple[int, float]]) -> bool:
    """Puts the codes of a look among those found, with their places; True when one is not ours."""
    strange = False
    for one in zxingcpp.read_barcodes(look, formats=OURS, binarizer=binarizer):
        code = code_in(one.text)
        strange = strange or not code
        if code:
            corner = one.position.top_left
            where.setdefault(code, (corner.y * ROWS // look.height, corner.x / look.width))
    return strange


def _looks(picture: Image.Image) -> Iterator[Image.Image]:
    """The picture, and then the same made easier to read in other ways, for what is dark, faint, far off or blurred."""
    yield picture
    yield ImageOps.autocontrast(picture, cutoff=2)
    if max(picture.size) > ENOUGH // 3:
        yield picture.reduce(2)
    else:
        yield picture.resize((picture.width * 2, picture.height * 2), Image.Resampling.BICUBIC)


def _sharpened(picture: Image.Image) -> Iterator[Image.Image]:
    """The picture with its edges drawn out, for labels out of focus; at last at half its size against noise."""
    for radius, percent in SHARPENED:
        yield picture.filter(ImageFilter.UnsharpMask(radius, percent, 0))
    yield picture.reduce(2).filter(ImageFilter.UnsharpMask(3, 500, 0))
