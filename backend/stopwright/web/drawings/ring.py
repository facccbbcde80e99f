"""A mitred frame as it closes: seen from its face sides, a band around all of it; each piece shown at its own step."""

from collections.abc import Iterable, Sequence
from math import cos, pi, sin, tan

from markupsafe import Markup

from stopwright.lengths import Nm, Show
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.plan.assembling.mitred_rings import RECTANGLE, Ring
from stopwright.plan.assembling.stage import Stage
from stopwright.plan.pictures.canvas import WIDE, Canvas, Point, outline
from stopwright.web.drawings.svg import svg_of

TALL = 220.0
_MARGIN = 20.0
_BAND = 5.0
"""How far outside the frame the band is drawn."""


def draw_ring(job: Job, ring: Ring, stage: Stage, labels: Sequence[str], show: Show) -> Markup:
    """The picture; `labels` are those of `stage.pieces`. What lies in its grooves is left out."""
    named = dict(zip(stage.pieces, labels, strict=True))
    lengths = [job.part(mark).length for mark, _ in ring.pieces]
    wide = max(job.part(mark).width for mark, _ in ring.pieces)
    outer = _corners(lengths, 0)
    half_wide, half_tall = (max(abs(corner[axis]) for corner in outer) for axis in (0, 1))
    scale = min((WIDE / 2 - _MARGIN) / half_wide, TALL / 2 / half_tall)
    canvas = Canvas(tall=2 * (half_tall * scale + _MARGIN))
    way = 1 if ring.inner is Side.FAR_EDGE else -1  # seen from its face sides it goes round the other way

    def seen(corners: Iterable[Point]) -> list[Point]:
        return [(WIDE / 2 + way * x * scale, canvas.tall / 2 - y * scale) for x, y in corners]

    canvas.path("edge", outline(seen(_corners(lengths, -_BAND / scale))))
    corners, inside = seen(outer), seen(_corners(lengths, wide))
    for n, piece in enumerate(ring.pieces):
        after = (n + 1) % len(corners)
        shape = (corners[n], corners[after], inside[after], inside[n])
        number = stage.pieces.index(piece)
        canvas.path(f"wood p{number}", outline(shape))
        x, y = (sum(values) / len(shape) for values in zip(*shape, strict=True))
        canvas.words(named[piece], min(max(x, 24), WIDE - 24), y + 5, kind=f"said strong p{number}")
    said = ", ".join(named[piece] for piece in ring.pieces)
    canvas.label = f"Stage {stage.number}, seen from the face sides: {said} in a ring, a band around them"
    return svg_of(canvas, show, kind="drawn together")


def _corners(lengths: Sequence[Nm], inset: float) -> list[Point]:
    """The corners that lie so far inside of a ring's outer edges, nm from its middle, y up.

    They go round by the left from the right end of the piece at the bottom.

    >>> _corners([300, 200, 300, 200], 0)
    [(150.0, -100.0), (-150.0, -100.0), (-150.0, 100.0), (150.0, 100.0)]
    """
    if len(lengths) == RECTANGLE:
        x, y = lengths[0] / 2 - inset, lengths[1] / 2 - inset
        return [(x, -y), (-x, -y), (-x, y), (x, y)]
    half_step = pi / len(lengths)
    to_edge = lengths[0] / 2 / tan(half_step)
    radius = (to_edge - inset) / cos(half_step)
    turns = (half_step - 2 * half_step * n for n in range(len(lengths)))
    return [(radius * sin(turn), -radius * cos(turn)) for turn in turns]
