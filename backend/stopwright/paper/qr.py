"""QR codes as rows of dark runs (ISO/IEC 18004), in the alphanumeric set, through the `qrcode` library."""

from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

from stopwright.errors import StopwrightError

ALPHANUMERIC = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")
QUIET = 4
"""Modules that must stay clear on every side."""
GREATEST_TEXT = 90
"""Version 4 at error correction M; what needs more makes the label too large to be handy."""
KEPT = 64
"""Codes that are not made anew when they are asked for again, as those of the labels looked at; 11 kB each."""


@dataclass(frozen=True, slots=True)
class QrCode:
    """`side` modules a side without the quiet zone; `runs` of dark ones as (column, row, length)."""

    side: int
    correction: str
    runs: tuple[tuple[int, int, int], ...]

    @property
    def whole(self) -> int:
        """Modules a side with the quiet zone round it."""
        return self.side + 2 * QUIET


@lru_cache(maxsize=KEPT)
def qr_code(text: str) -> QrCode:
    """The smallest code of a text at error correction M, or Q where that makes it no larger.

    Raises StopwrightError when a character is not in the alphanumeric set or the text is longer than 90.

    >>> code = qr_code("HTTP://192.168.1.20:8000/P/00C006J")
    >>> code.side, code.correction, code.whole
    (25, 'M', 33)
    """
    strange = sorted(set(text) - ALPHANUMERIC)
    if strange:
        raise StopwrightError(
            f"the address on the labels cannot hold '{strange[0]}'",
            text,
            "give this computer a name of letters, figures and dashes",
        )
    if len(text) > GREATEST_TEXT:
        raise StopwrightError(
            f"the address on the labels is {len(text)} characters long", text, "give this computer a shorter name"
        )
    from stopwright.paper.qr_modules import modules_of  # with it come numpy and the library, at the first code

    modules, correction = modules_of(text)
    return QrCode(len(modules), correction, tuple(_runs(modules)))


def _runs(modules: list[list[bool]]) -> list[tuple[int, int, int]]:
    runs = []
    for row, cells in enumerate(modules):
        column = 0
        for dark, same in groupby(cells, key=bool):
            length = len(list(same))
            if dark:
                runs.append((column, row, length))
            column += length
    return runs
