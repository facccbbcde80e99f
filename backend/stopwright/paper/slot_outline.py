"""The outline of a slot: two straight sides and the round ends that the bit leaves."""

from math import cos, pi, sin

from stopwright.paper.drawing import Point

STEPS = 8


def slot_outline(start: float, end: float, centre: float, bit: float) -> tuple[Point, ...]:
    """Points round the slot as (along, across); its ends are half circles of the bit's diameter.

    >>> outline = slot_outline(20, 80, 13, 10)
    >>> min(outline)[0], max(outline)[0], max(across for _, across in outline)
    (20.0, 80.0, 18.0)
    """
    radius = bit / 2
    turns = [pi * step / STEPS for step in range(STEPS + 1)]
    far = [(end - radius + radius * sin(turn), centre + radius * cos(turn)) for turn in turns]
    near = [(start + radius - radius * sin(turn), centre - radius * cos(turn)) for turn in turns]
    return (*far, *near)
