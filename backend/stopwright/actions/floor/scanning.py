"""Codes of labels: typed, scanned, or in a photo from a phone's camera, whatever it holds and whoever sent it."""

import re

from stopwright.errors import BadInput, StopwrightError
from stopwright.intake.apart import read_apart
from stopwright.model.codes import decode, encode

_ADDRESS = re.compile(r".*/P/([0-9A-Z]{7})/?", re.IGNORECASE)


def read_photo(photo: bytes) -> tuple[str, ...]:
    """The codes of pieces and offcuts in a photo, from the top left to the bottom right, each once.

    It is opened and looked through in a process of its own, which is ended when it takes too much time or memory.
    Raises StopwrightError when it is no picture, is too large to open, or shows no code of ours.
    """
    try:
        return read_apart(_look_through, photo, file="the photo")
    except BadInput as error:
        step = "take it with a lower resolution and nearer, or type the code beside it"
        raise StopwrightError("this photo takes too much time or memory to look through", next_step=step) from error


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


def _look_through(photo: bytes) -> tuple[str, ...]:
    # The library for pictures comes into that process only.
    from stopwright.actions.floor.photo_codes import codes_in_photo

    return codes_in_photo(photo)
