"""Pictures as the log keeps them: small JPEGs that say nothing but what is to be seen, no place, no time, no device."""

from base64 import b64decode
from typing import Any

GREATEST_PICTURE = 120_000
"""Bytes of one picture."""

_START, _SCAN, _APP0, _COMMENT = 0xD8, 0xDA, 0xE0, 0xFE


def picture(value: Any) -> str:
    """Accepts the base64 of a JPEG of at most `GREATEST_PICTURE` bytes without anything written into it."""
    expected = f"a JPEG of at most {GREATEST_PICTURE // 1000} kB in base64, with nothing written into it"
    if not isinstance(value, str) or len(value) > 4 * -(-GREATEST_PICTURE // 3):
        return expected
    try:
        data = b64decode(value, validate=True)
    except ValueError:
        return expected
    return "" if says_nothing(data) else expected


def says_nothing(data: bytes) -> bool:
    """Whether this is a JPEG whose head holds no words: no comment, and of what programs may add only its own size.

    >>> plain = b"\\xff\\xd8" + b"\\xff\\xe0\\x00\\x04\\x00\\x00" + b"\\xff\\xda\\x00\\x02" + b"scan"
    >>> where = b"\\xff\\xd8" + b"\\xff\\xe1\\x00\\x08Exif" + b"\\x00\\x00" + b"\\xff\\xda\\x00\\x02" + b"scan"
    >>> says_nothing(plain), says_nothing(where), says_nothing(b"GIF89a")
    (True, False, False)
    """
    if data[:2] != bytes((0xFF, _START)):
        return False
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        marker, size = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if marker == _SCAN:
            return True
        if marker == _COMMENT or _APP0 < marker <= 0xEF or size < 2:
            return False
        at += 2 + size
    return False
