"""Thicknesses: rough wood for a finished one, and the heights of the planer, as few as the greatest cut allows."""

from collections.abc import Callable, Sequence

from stopwright.lengths import INCH, MM, Nm

QUARTER_SCALE: tuple[tuple[Nm, Nm], ...] = tuple(
    (quarters * INCH // 4, planed * INCH // 16) for quarters, planed in ((4, 13), (5, 17), (6, 21), (8, 28))
)
"""Rough thickness and what it planes to, nm: 4/4 → 13/16, 5/4 → 1 1/16, 6/4 → 1 5/16, 8/4 → 1 3/4 (guild Q&A, S)."""

GREATEST_SAFE_CUT: Nm = 32 * MM // 10
"""No pass may take off more than 3.2 mm (insurer's sheet, S)."""
GREATEST_SAFE_CUT_UP_TO: Nm = 140 * MM
"""So much only on stock up to 140 mm wide (training sheet, C)."""
GREATEST_CUT_ON_WIDE_STOCK: Nm = 16 * MM // 10
"""What one pass may take off wider stock: 1.6 mm, 1/16 in (training sheet, C)."""


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


def planing_heights(
    parts: Sequence[tuple[Nm, Nm]],
    greatest_cut: Nm,
    step: Nm | None = None,
    zero: Nm = 0,
    stands: Callable[[Nm], Nm] = int,
) -> tuple[Nm, ...]:
    """The least heights that bring every (rough, finished) thickness down, in nm, greatest first.

    Every finished thickness is a height; `stands` tells where the stop really stands for it. Between one and the next
    above it, as far up as some rough piece reaches, lie as few more as keep every pass within the greatest cut: without
    a scale ⌈gap / cut⌉ − 1. They are spread evenly and lie on the marks of a scale with that `step` and `zero`, for
    what cannot be read cannot be held; only where its marks are further apart than the greatest cut they lie between. A
    part joins at the first height below its rough thickness. Fewer is not possible: no height can serve a stretch
    longer than one cut.

    25.4 → 20.6375 is 4.7625 = three cuts of 1.5875 mm, so three heights; on whole millimetres 41 → 38 takes three too:

    >>> planing_heights([(25_400_000, 20_637_500)], 1_600_000)
    (23812500, 22225000, 20637500)
    >>> planing_heights([(41 * MM, 38 * MM)], 1_600_000, step=MM)
    (40000000, 39000000, 38000000)
    """
    finished = sorted({finish for _, finish in parts})
    heights: set[Nm] = set(finished)
    for index, low in enumerate(finished):
        reach = max(rough for rough, finish in parts if finish <= low)
        above = stands(finished[index + 1]) if index + 1 < len(finished) else reach
        high = min(above, reach)
        if step and step <= greatest_cut:
            heights.update(_on_marks(stands(low), high, greatest_cut, step, zero))
        else:
            heights.update(_evenly(stands(low), high, greatest_cut))
    return tuple(sorted(heights, reverse=True))


def joins_at(rough: Nm, heights: Sequence[Nm]) -> Nm:
    """The first height (nm) at which a piece of this rough thickness is touched; heights run from great to small."""
    return next(height for height in heights if height < rough)


def _evenly(low: Nm, high: Nm, greatest_cut: Nm) -> list[Nm]:
    gap = high - low
    cuts = -(-gap // greatest_cut)
    return [low + gap * number // cuts for number in range(1, cuts)]


def _on_marks(low: Nm, high: Nm, greatest_cut: Nm, step: Nm, zero: Nm) -> list[Nm]:
    """As few marks of the scale as keep every cut from `high` to `low` within the greatest, spread evenly."""

    def down(place: Nm) -> Nm:
        return (place + zero) // step * step - zero

    def up(place: Nm) -> Nm:
        return -(-(place + zero) // step) * step - zero

    most = [down(low + greatest_cut)]  # how far up each height may lie, seen from below
    while high - most[-1] > greatest_cut:
        most.append(down(most[-1] + greatest_cut))
    if high - low <= greatest_cut:
        return []
    least = [up(high - greatest_cut)]  # how far down, seen from above
    while len(least) < len(most):
        least.append(up(least[-1] - greatest_cut))
    heights = [down(low)]
    for number, (lowest, highest) in enumerate(zip(reversed(least), most, strict=True), start=1):
        even = down(low + (high - low) * number // (len(most) + 1))
        reachable = min(highest, down(heights[-1] + greatest_cut)) if number > 1 else highest
        heights.append(min(max(even, lowest, heights[-1] + step), reachable))
    return heights[1:]
