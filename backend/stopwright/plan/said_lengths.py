"""Lengths inside sentences of the plan, which are put into words where they are read, in the unit that is shown there.

A sentence holds them in white brackets as whole nanometres: `for B as measured, ⟦18200000⟧`.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from stopwright.lengths import INCH, MM, Nm, Show, format_difference, format_length, nearest

_UP, _SMALL, _ROUGH = "↑", "±", "≈"
_SAID = re.compile(rf"⟦(?P<kind>[{_UP}{_SMALL}{_ROUGH}]?)(?P<lengths>\d+(?:×\d+)*)⟧")


@dataclass(frozen=True, slots=True)
class SaidLength:
    """A length of a sentence, or a size of several; nm. `kind` says how it is read, "" as any other length."""

    lengths: tuple[Nm, ...]
    kind: str = ""

    def text(self, show: Show) -> str:
        """In words; of a size the unit stands once."""
        first = self.lengths[0]
        if self.kind == _SMALL:
            return format_difference(first, show)
        if self.kind == _UP:
            step = MM // 2 if show is Show.MM else INCH // 32
            return format_length(-(-first // step) * step, show)
        lengths = self.lengths
        if self.kind == _ROUGH and show is not Show.MM:
            lengths, show = tuple(nearest(one, INCH // 16) for one in lengths), Show.SIXTEENTHS
        *others, last = lengths
        return " × ".join((*(format_length(one, show, with_unit=False) for one in others), format_length(last, show)))


def said(*lengths: Nm) -> str:
    """A length, or a size of several, as it stands in a sentence until somebody reads it; nm.

    >>> said(450_000_000), said(450_000_000, 38_000_000)
    ('⟦450000000⟧', '⟦450000000×38000000⟧')
    """
    return f"⟦{'×'.join(map(str, lengths))}⟧"


def said_up(length: Nm) -> str:
    """As `said`; read rounded up to what a pencil marks: half a mm, or 1/32 in."""
    return f"⟦{_UP}{length}⟧"


def said_small(difference: Nm) -> str:
    """As `said`; read as a small difference: hundredths of a mm, or thousandths of an inch."""
    return f"⟦{_SMALL}{difference}⟧"


def said_rough(*lengths: Nm) -> str:
    """As `said`, the size of wood on the rack; where inches are read, to the nearest sixteenth, as wood is bought."""
    return f"⟦{_ROUGH}{'×'.join(map(str, lengths))}⟧"


def taken_apart(sentence: str) -> Iterator[str | SaidLength]:
    """The words of a sentence and its lengths, one after the other."""
    end = 0
    for found in _SAID.finditer(sentence):
        yield sentence[end : found.start()]
        yield SaidLength(tuple(map(int, found["lengths"].split("×"))), found["kind"])
        end = found.end()
    yield sentence[end:]


def read_out(sentence: str, show: Show) -> str:
    """The sentence with all its lengths in words.

    >>> read_out(f"for {said(19_050_000)}, at {said(4_000_000, 2_000_000)}", Show.MM)
    'for 19.05 mm, at 4 × 2 mm'
    >>> read_out(f"slots {said_up(9_100_000)} long", Show.MM), read_out(said_up(9_100_000), Show.THIRTY_SECONDS)
    ('slots 9.5 mm long', '3/8 in')
    >>> read_out(f"{said_small(200_000)} thicker", Show.SIXTEENTHS)
    '0.008 in thicker'
    >>> read_out(f"ash {said_rough(2_400_000_000, 180_000_000, 45_000_000)}", Show.THOUSANDTHS)
    'ash 94 1/2 × 7 1/16 × 1 3/4 in'
    """
    return "".join(one if isinstance(one, str) else one.text(show) for one in taken_apart(sentence))
