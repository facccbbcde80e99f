"""Codes in a photo: a picture from a phone's camera read at the bench, whatever it holds and whoever sent it."""

import re
from collections.abc import Iterator
from io import BytesIO
from threading import BoundedSemaphore

import zxingcpp
from PIL import Image, ImageOps, UnidentifiedImageError

from stopwright.errors import StopwrightError
from stopwright.model.codes import decode, encode

OURS = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
FORMATS = ("JPEG", "PNG", "WEBP")
GREATEST_PIXELS = 60_000_000
"""More than any phone takes; a picture that says it holds more is not opened."""
ENOUGH = 2400
"""Pixels along the longer side that show every label a hand can hold before a camera."""
MOST_LABELS = 60
ROWS = 8
"""Labels in the same eighth of a photo's height count as side by side."""

_AT_ONCE = BoundedSemaphore(2)
_ADDRESS = re.compile(r".*/P/([0-9A-Z]{7})/?", re.IGNORECASE)
_AGAIN = "take it again, nearer, in better light and with the label flat"


def read_photo(photo: bytes) -> tuple[str, ...]:
    """The codes of pieces and offcuts in a photo, from the top left to the bottom right, each once.

    Raises StopwrightError when it is no picture, is too large to open, or shows no code of ours.
    """
    with _AT_ONCE:
        picture = _opened(photo)
        where: dict[str, tuple[int, float]] = {}
        strange = False
        for look in _looks(picture):
            for one in zxingcpp.read_barcodes(look, formats=OURS):
                code = code_in(one.text)
                strange = strange or not code
                if code:
                    corner = one.position.top_left
                    where.setdefault(code, (corner.y * ROWS // look.height, corner.x / look.width))
    if where:
        return tuple(sorted(where, key=lambda code: where[code]))[:MOST_LABELS]
    if strange:
        raise StopwrightError("the code in this photo is not one of our labels", next_step="take a photo of the label")
    raise StopwrightError("no code can be read in this photo", next_step=f"{_AGAIN}; or type the code beside it")


def code_in(text: str) -> str:
    """The code of a piece in what a QR code says: the web address of a label, or the code alone; "" for anything else.

    >>> code_in("HTTP://192.168.1.5:8765/P/00C006J"), code_in("00c-006j"), code_in("https://example.org/P/1234567")
    ('00C006J', '00C006J', '')
    """
    found = _ADDRESS.fullmatch(text)
    try:
        return encode(*decode(found[1] if found else text))
    except StopwrightError:
        return ""


def _opened(photo: bytes) -> Image.Image:
    """The picture in shades of grey, no larger than needed; what it says of its size is looked at before it unfolds."""
    try:
        picture = Image.open(BytesIO(photo), formats=FORMATS)
        if picture.width * picture.height > GREATEST_PIXELS:
            raise StopwrightError("this photo is too large to open", next_step="take it with a lower resolution")
        picture.draft("L", (ENOUGH, ENOUGH))
        grey = picture.convert("L")
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise StopwrightError("this photo is too large to open", next_step="take it with a lower resolution") from error
    except UnidentifiedImageError as error:
        raise StopwrightError("this is no photo that can be read", next_step="send a JPEG, PNG or WEBP") from error
    except (OSError, ValueError, SyntaxError, EOFError, MemoryError) as error:
        raise StopwrightError("this photo is damaged", next_step="take it again") from error
    grey.thumbnail((ENOUGH, ENOUGH))
    return grey


def _looks(picture: Image.Image) -> Iterator[Image.Image]:
    """The picture, and then the same made easier to read in other ways, for what is dark, faint, far off or blurred."""
    yield picture
    yield ImageOps.autocontrast(picture, cutoff=2)
    if max(picture.size) > ENOUGH // 3:
        yield picture.reduce(2)
    else:
        yield picture.resize((picture.width * 2, picture.height * 2), Image.Resampling.BICUBIC)
