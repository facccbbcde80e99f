"""Heights of the thickness planer: as few as the greatest cut allows, each set once, thick to thin."""

from collections.abc import Sequence
from itertools import pairwise

from stopwright.lengths import Nm


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
