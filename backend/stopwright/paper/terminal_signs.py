"""Printing where our signs cannot be written, an old terminal or a file in its letters: they are spelt out."""

import codecs
import io
import sys

SPELT = {"−": "-", "–": "-", "±": "+/-", "×": "x", "²": "^2", "³": "^3", "°": " deg", "’": "'", "→": "->", "…": "..."}


def spell(error: UnicodeError) -> tuple[str, int]:
    """The signs that cannot be written, spelt, "?" for any other, and where to go on.

    >>> "−0.2 mm off, ±0.3 mm: Türe".encode("ascii", "stopwright")
    b'-0.2 mm off, +/-0.3 mm: T?re'
    """
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(SPELT.get(sign, "?") for sign in error.object[error.start : error.end]), error.end


codecs.register_error("stopwright", spell)


def print_line_by_line() -> None:
    """What is printed is seen at once, through a pipe too, and nothing that cannot be written stops it."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="stopwright", line_buffering=True)
