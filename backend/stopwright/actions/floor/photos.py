"""Photos from phones: opened with care, and made small and silent where they are to be kept; in a process apart."""

from io import BytesIO

from PIL import Image, ImageOps, UnidentifiedImageError

from stopwright.errors import StopwrightError
from stopwright.store.pictures import GREATEST_PICTURE

FORMATS = ("JPEG", "PNG", "WEBP")
GREATEST_PIXELS = 60_000_000
"""More than any phone takes; a picture that says it holds more is not opened."""
LONGEST_KEPT = 1280
"""Pixels along the longer side of a picture that is kept."""

_QUALITIES = (75, 60, 45, 30, 15)


def open_photo(photo: bytes, mode: str, longest: int) -> Image.Image:
    """The picture in shades of grey ("L") or in colours ("RGB"), no longer than so many pixels.

    What it says of its size is looked at before it unfolds. Raises StopwrightError for what is no photo.
    """
    try:
        picture = Image.open(BytesIO(photo), formats=FORMATS)
        if picture.width * picture.height > GREATEST_PIXELS:
            raise StopwrightError("this photo is too large to open", next_step="take it with a lower resolution")
        picture.draft(mode, (longest, longest))
        turned = ImageOps.exif_transpose(picture) if mode == "RGB" else picture
        seen = turned.convert(mode)
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise StopwrightError("this photo is too large to open", next_step="take it with a lower resolution") from error
    except UnidentifiedImageError as error:
        raise StopwrightError(
            "this file is not a photo that can be read", next_step="send a JPEG, PNG or WEBP"
        ) from error
    except (OSError, ValueError, SyntaxError, EOFError, MemoryError) as error:
        raise StopwrightError("this photo is damaged", next_step="take it again") from error
    seen.thumbnail((longest, longest))
    return seen


def small_and_silent(photo: bytes) -> bytes:
    """The photo made anew as a JPEG: small, upright, nothing in it but what is to be seen. Raises StopwrightError."""
    seen = open_photo(photo, "RGB", LONGEST_KEPT)
    plain = Image.new("RGB", seen.size)
    plain.paste(seen)  # the pixels alone, without what the file said besides
    return _small(plain)


def _small(picture: Image.Image) -> bytes:
    for quality in _QUALITIES:
        written = BytesIO()
        picture.save(written, "JPEG", quality=quality, optimize=True)
        if written.tell() <= GREATEST_PICTURE:
            break
    else:
        return _small(picture.resize((max(picture.width // 2, 1), max(picture.height // 2, 1))))
    return written.getvalue()
