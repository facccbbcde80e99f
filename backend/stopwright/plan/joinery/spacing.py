"""Equal gaps between slats, and wide slots divided into several."""

from dataclasses import dataclass

from stopwright.errors import StopwrightError
from stopwright.lengths import Nm, nearest


@dataclass(frozen=True, slots=True)
class Spaced:
    """Slats in an opening, nm: the gap, the last gap that takes what rounding leaves, and each slat's middle."""

    gap: Nm
    last_gap: Nm
    pitch: Nm
    centres: tuple[Nm, ...]


@dataclass(frozen=True, slots=True)
class Divided:
    """Several slots in place of one, nm: how many, how long, how much between, and where the first begins."""

    count: int
    length: Nm
    between: Nm
    first: Nm

    @property
    def pitch(self) -> Nm:
        """From slot to slot."""
        return self.length + self.between


def space_evenly(opening: Nm, count: int, width: Nm, step: Nm = 1) -> Spaced:
    """Equal gaps for `count` slats of one width in an opening: gap = (opening − count × width) / (count + 1).

    The gap is rounded to the nearest `step`; the last gap takes what that leaves, so the pitch stays equal and one
    spacer serves. Raises StopwrightError where the slats do not fit.

    >>> from stopwright.lengths import MM
    >>> five = space_evenly(500 * MM, 5, 40 * MM, MM)  # (500 − 200) / 6 = 50
    >>> five.gap // MM, five.last_gap // MM, [centre // MM for centre in five.centres]
    (50, 50, [70, 160, 250, 340, 430])
    """
    free = opening - count * width
    if count < 1 or width <= 0 or free < 0:
        raise StopwrightError(
            "the slats do not fit into the opening", next_step="take fewer or narrower slats, or measure it again"
        )
    gap = nearest(free // (count + 1), step)
    if free - count * gap < 0:
        gap -= step
    pitch = width + gap
    centres = tuple(gap + width // 2 + i * pitch for i in range(count))
    return Spaced(gap, free - count * gap, pitch, centres)


def divide_slot(start: Nm, end: Nm, bit: Nm, longest: Nm) -> Divided | None:
    """The fewest equal slots from `start` to `end`, twice the bit apart, none longer than `longest`; None if none fit.

    >>> divide_slot(15, 185, 15, 90)  # usable 170: two of 70 with 30 between
    Divided(count=2, length=70, between=30, first=15)
    """
    between, usable, count = 2 * bit, end - start, 2
    while (length := (usable - (count - 1) * between) // count) > longest:
        count += 1
    return Divided(count, length, between, start) if length >= bit else None
