"""A stage of the glue-up: all its pieces where they stand in the unit, each to be shown apart at its own step.

Seen from the front, a little from the right and above. Every shape of piece number n has the class `pn`, by which the
page brings out the two that meet now.
"""

from collections.abc import Sequence

from markupsafe import Markup

from stopwright.lengths import Nm, Show
from stopwright.model.job import Job
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.plan.assembling.joint_poses import Nth
from stopwright.plan.assembling.poses import Corner, moved
from stopwright.plan.assembling.stage import Stage
from stopwright.plan.pictures.canvas import WIDE, Canvas, Point, outline
from stopwright.web.drawings.svg import svg_of

TALL = 300.0
_LEAN, _RISE = 0.42, 0.3
_MARGIN = 26.0


def draw_stage(job: Job, stage: Stage, labels: Sequence[str], show: Show) -> Markup:
    """The picture; `labels` are those of `stage.pieces`. What lies loose in grooves is left out."""
    poses = assembly_stages(job).poses
    boxes = {piece: _box(job, piece) for piece in stage.pieces if piece in poses}
    if not boxes:
        return Markup("")
    view = _View(list(boxes.values()))
    canvas = Canvas(tall=view.tall)
    for piece in sorted(boxes, key=lambda piece: _depth(boxes[piece]), reverse=True):
        number = stage.pieces.index(piece)
        for corners in _seen(boxes[piece]):
            canvas.path(f"wood p{number}", outline(view.point(corner) for corner in corners))
    drawn = [
        (n, piece, label) for n, (piece, label) in enumerate(zip(stage.pieces, labels, strict=True)) if piece in poses
    ]
    for number, piece, label in drawn:
        x, y = view.point(_middle(boxes[piece]))
        canvas.words(label, min(max(x, 24), WIDE - 24), y + 5, kind=f"said strong p{number}")
    canvas.label = f"Stage {stage.number} together, seen from the front: {', '.join(label for _, _, label in drawn)}"
    return svg_of(canvas, show, kind="drawn together")


_Box = tuple[Corner, Corner]


def _box(job: Job, piece: Nth) -> _Box:
    """Lowest and highest corner of a piece in the unit: x to the right, y away from the front, z up; nm."""
    pose, part = assembly_stages(job).poses[piece], job.part(piece[0])
    far = moved(pose.corner, (pose.x, part.length), (pose.y, part.width), (pose.z, part.thickness))
    xs, ys, zs = (sorted(pair) for pair in zip(pose.corner, far, strict=True))
    return (xs[0], ys[0], zs[0]), (xs[1], ys[1], zs[1])


def _depth(box: _Box) -> tuple[Nm, Nm, Nm]:
    """What is farther off, lower and more to the left is drawn first."""
    (x, y, z), (far_x, far_y, far_z) = box
    return (y + far_y, -(z + far_z), -(x + far_x))


def _middle(box: _Box) -> Corner:
    """The middle of the side that shows most: the right side of what runs away from the front, else the front."""
    (x, y, z), (far_x, far_y, far_z) = box
    if far_y - y > far_x - x:
        return far_x, (y + far_y) // 2, (z + far_z) // 2
    return (x + far_x) // 2, y, (z + far_z) // 2


def _seen(box: _Box) -> tuple[tuple[Corner, ...], ...]:
    """The corners of front, top and right side."""
    (x, y, z), (far_x, far_y, far_z) = box
    front = tuple((a, y, c) for a in (x, far_x) for c in (z, far_z))
    top = tuple((a, b, far_z) for a in (x, far_x) for b in (y, far_y))
    right = tuple((far_x, b, c) for b in (y, far_y) for c in (z, far_z))
    return front, top, right


class _View:
    """From the unit to the picture, all of it to one scale."""

    def __init__(self, boxes: Sequence[_Box]) -> None:
        corners = [corner for low, high in boxes for corner in (low, high)]
        ends = [(min(one), max(one)) for one in zip(*corners, strict=True)]
        (self._x, far_x), (self._y, far_y), (low_z, self._z) = ends
        deep = far_y - self._y
        wide, tall = far_x - self._x + _LEAN * deep, self._z - low_z + _RISE * deep
        self._scale = min((WIDE - 2 * _MARGIN) / wide, TALL / tall)
        self._left = (WIDE - wide * self._scale) / 2
        self._top = 12 + _RISE * deep * self._scale
        self.tall = 24 + tall * self._scale

    def point(self, corner: Corner) -> Point:
        """Where a corner comes to lie."""
        back = (corner[1] - self._y) * self._scale
        x = self._left + (corner[0] - self._x) * self._scale + _LEAN * back
        return x, self._top + (self._z - corner[2]) * self._scale - _RISE * back
