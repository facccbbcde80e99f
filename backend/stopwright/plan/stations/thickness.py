"""Thicknesses: rough wood for a finished one, and the heights of the planer, as few as the greatest cut allows."""

from collections.abc import Sequence
from itertools import pairwise

from stopwright.lengths import INCH, MM, Nm

QUARTER_SCALE: tuple[tuple[Nm, Nm], ...] = tuple(
    (quarters * INCH // 4, planed * INCH // 16) for quarters, planed in ((4, 13), (5, 17), (6, 21), (8, 28))
)
"""Rough thickness and what it planes to, nm: 4/4 → 13/16, 5/4 → 1 1/16, 6/4 → 1 5/16, 8/4 → 1 3/4 (guild Q&A, S)."""

GREATEST_SAFE_CUT: Nm = 32 * MM // 10
"""No pass may take off more than 3.2 mm (insurer's sheet, S)."""
GREATEST_SAFE_CUT_UP_TO: Nm = 140 * MM
"""So much only on stock up to 140 mm wide (training sheet, C)."""


def rough_from_quarter_scale(finished: Nm) -> Nm:
    """The rough thickness to get for a finished one, nm; beyond 8/4 the next quarter that leaves 1/4 in.

    >>> rough_from_quarter_scale(22 * MM) / INCH  # 22 mm is more than 13/16 in, so 5/4
    1.25
    """
    for rough, planed in QUARTER_SCALE:
        if finished <= planed:
            return rough
    quarter = INCH // 4
    return -(-(finished + quarter) // quarter) * quarter


def planing_heights(parts: Sequence[tuple[Nm, Nm]], greatest_cut: Nm, step: Nm | None = None) -> tuple[Nm, ...]:
    """The least heights that bring every (rough, finished) thickness down, in nm, greatest first.

    Every finished thickness is a height. Between one and the next above it, as far up as some rough piece reaches,
    lie as many more as the greatest cut asks for: ⌈gap / cut⌉ − 1. They are spread evenly, on whole steps of the
    scale where that keeps every cut within the greatest. A part joins at the first height below its rough
    thickness. Fewer is not possible: no height can serve a stretch longer than one cut.

    25.4 → 20.6375 is 4.7625 = three cuts of 1.5875 mm, so three heights:

    >>> planing_heights([(25_400_000, 20_637_500)], 1_600_000)
    (23812500, 22225000, 20637500)
    """
    finished = sorted({finish for _, finish in parts})
    heights: set[Nm] = set(finished)
    for index, low in enumerate(finished):
        reach = max(rough for rough, finish in parts if finish <= low)
        above = finished[index + 1] if index + 1 < len(finished) else reach
        heights.update(_between(low, min(above, reach), greatest_cut, step))
    return tuple(sorted(heights, reverse=True))


def joins_at(rough: Nm, heights: Sequence[Nm]) -> Nm:
    """The first height (nm) at which a piece of this rough thickness is touched; heights run from great to small."""
    return next(height for height in heights if height < rough)


def _between(low: Nm, high: Nm, greatest_cut: Nm, step: Nm | None) -> list[Nm]:
    gap = high - low
    cuts = -(-gap // greatest_cut)
    even = [low + gap * number // cuts for number in range(1, cuts)]
    if not step:
        return even
    rounded = [height - height % step for height in even]
    edges = [low, *rounded, high]
    within = all(0 < above - below <= greatest_cut for below, above in pairwise(edges))
    return rounded if within else even
