"""This piece as it lies for a cut: side down, reference at its stop or fence, what is out of it, what is cut now.

Drawn slantwise from where one works, to be recognised, not measured: what is long is drawn short, what is thin thick.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.joints import ENDS, Side
from stopwright.model.solid import Solid
from stopwright.plan.joinery.hands import OUTWARD, cross
from stopwright.plan.operations.roles import END_STOP_LEFT, END_STOP_RIGHT, LENGTH
from stopwright.plan.pictures.canvas import WIDE, Canvas, Point, outline
from stopwright.plan.run_sheet import Move, Pieces, Run
from stopwright.plan.stations.cut_before import InPiece
from stopwright.plan.stations.cut_setups import CALLED
from stopwright.plan.stations.part_sides import PAIRS, axis_of, opposite
from stopwright.plan.stations.true_sides import Whole

_NAMED = {CALLED.get(side, str(side)): side for side in Side}
_AT_THE_LEFT = ("left", "stop", "peg", "finger")
_SLANT = (0.62, -0.48)
_LEAST = 13.0


@dataclass(frozen=True, slots=True)
class View:
    """The sides of a piece as one who works there sees it; `slant` 1 shows its right side too, −1 the left one."""

    left: Side
    down: Side
    front: Side
    slant: int

    @property
    def seen(self) -> tuple[Side, Side, Side]:
        """The sides that are to be seen."""
        return (self.front, opposite(self.down), opposite(self.left) if self.slant > 0 else self.left)


def view_of(pieces: Pieces) -> View | None:
    """How a piece lies, seen by the one who works; None where the sheet does not say.

    A reference at a fence, sled or template is behind it, else it lies at the left or right stop. Right, up and towards
    the person are a right-handed three; for a mirrored piece, on the same names of sides, a left-handed one.

    >>> lies = Pieces("A", "Leg", 4, Side.FAR_EDGE, Side.FACE, "marked end", "right")
    >>> str(view_of(lies).front)
    'far edge'
    """
    reference = _NAMED.get(pieces.reference)
    if pieces.down is None or reference is None:
        return None
    up = OUTWARD[opposite(pieces.down)]
    if pieces.at not in (*_AT_THE_LEFT, "right"):
        behind = OUTWARD[reference]
        right = _side(cross(behind, up), pieces.mirrored)
        return View(opposite(right), pieces.down, opposite(reference), 1)
    left = opposite(reference) if pieces.at == "right" else reference
    front = _side(cross(OUTWARD[opposite(left)], up), pieces.mirrored)
    return View(left, pieces.down, front, -1 if pieces.at == "right" else 1)


def draw_lying(canvas: Canvas, run: Run, pieces: Pieces, piece: InPiece, number: int = 0) -> None:
    """The piece of one line of a run, laid down for its cut; `number` is 1 and more for further cuts in it."""
    header = f"{'strip of ' if run.lines else ''}{pieces.mark}{', mirrored' if pieces.mirrored else ''}"
    _draw(canvas, run, pieces, piece, (header, f"{header}{', then' if number else ''}"))
    canvas.label += f", {_counted(piece)}" if canvas.drawn else ""


def draw_whole(canvas: Canvas, run: Run, whole: Whole, before: tuple[Solid, ...]) -> None:
    """Wood that is sawn or made true, as it lies there; `before` is what was cut out of it while it was long."""
    headers = (whole.called, whole.called)
    _draw(canvas, run, whole.lying, InPiece(whole.size, before, ()), headers, bool(whole.besides))
    if canvas.drawn and whole.besides:
        canvas.words(whole.besides, WIDE - 6, 15, "end")
        canvas.label += f", {whole.besides}"


def _draw(
    canvas: Canvas, run: Run, pieces: Pieces, piece: InPiece, headers: tuple[str, str], has_fence: bool = False
) -> None:
    """How a piece lies, with what it is called in the label of the picture and above it.

    `has_fence`: something else of it is against a fence.
    """
    view = view_of(pieces)
    if view is None:
        return
    box = _Drawn(view, piece.body)
    header, above = headers
    canvas.words(above, 6, 15, "start", "said strong")
    at_fence = pieces.at not in (*_AT_THE_LEFT, "right")
    if at_fence or has_fence:
        canvas.box("fence", box.x - 12, box.y - box.high - box.rise - 14, box.wide + box.run + 28, 26 + box.high)
    canvas.box("table", 8, box.y, WIDE - 16, 6)
    for side in view.seen:
        canvas.path("wood end-grain" if side in ENDS else "wood", outline(box.face(side)))
    for solids, kind in ((piece.before, ""), (piece.now, " now")):
        for solid in solids:
            _cutout(canvas, box, solid, kind)
    reference = f"{pieces.reference} at the {pieces.at}"
    if at_fence:
        canvas.words(reference, WIDE - 6, 15, "end")
    else:
        moved = any(stop.move is Move.SET for stop in run.stops if stop.sets in _stops_for(pieces))
        right = pieces.at == "right"
        canvas.box("stop" if moved else "stop stands", box.x + (box.wide if right else -13), box.y - 46, 13, 46)
        canvas.words(
            pieces.reference, box.x + (box.wide + 13 if right else -13), box.y + 22, "end" if right else "start"
        )
    down = f"{CALLED.get(view.down, str(view.down))} down"
    canvas.words(down, *((6, box.y + 22, "start") if pieces.at == "right" else (WIDE - 6, box.y + 22, "end")))
    canvas.tall = box.y + 30
    canvas.label = f"{header} as it lies: {down}, {reference}"


def _counted(piece: InPiece) -> str:
    before = f"{len(piece.before)} cut{'' if len(piece.before) == 1 else 's'} in it already"
    return f"{before if piece.before else 'nothing cut into it yet'}, what is cut now in the colour of the stop"


def _stops_for(pieces: Pieces) -> tuple[str, ...]:
    return (LENGTH.name, (END_STOP_RIGHT if pieces.at == "right" else END_STOP_LEFT).name)


def _side(outward: tuple[int, int, int], mirrored: bool) -> Side:
    found = next(side for side, normal in OUTWARD.items() if normal == outward)
    return opposite(found) if mirrored else found


class _Drawn:
    """Where the corners of a piece come to lie in the picture; `x`, `y` is the lower left corner of its front."""

    def __init__(self, view: View, body: tuple[Nm, Nm, Nm]) -> None:
        self._view = view
        self._body = body
        axes = [axis_of(side) for side in (view.left, view.down, view.front)]
        crosswise = zip(axes, (150.0, 58.0, 46.0), strict=True)
        scale = min(most / body[axis] for axis, most in crosswise if axis)
        along = (226.0, 96.0, 110.0)[axes.index(0)]
        sizes = {0: min(along, body[0] * scale), 1: body[1] * scale, 2: body[2] * scale}
        self._scales = {axis: max(size, _LEAST) / body[axis] for axis, size in sizes.items()}
        wide, self.high, deep = (self._scales[axis] * body[axis] for axis in axes)
        self.wide, self.run, self.rise = wide, _SLANT[0] * deep, -_SLANT[1] * deep
        self.x = (WIDE - wide - view.slant * self.run) / 2
        self.y = 42 + self.high + self.rise

    @property
    def sides(self) -> tuple[Side, Side, Side]:
        """The sides that are to be seen."""
        return self._view.seen

    def point(self, corner: Sequence[float]) -> Point:
        """A corner of the body, or of what is cut out of it; what stands beyond the body is drawn on its skin."""
        right, up, back = (self._far(side, corner) for side in (self._view.left, self._view.down, self._view.front))
        return (self.x + right + self._view.slant * _SLANT[0] * back, self.y - up + _SLANT[1] * back)

    def face(self, side: Side) -> list[Point]:
        """The corners of one side."""
        axis = axis_of(side)
        at = 0 if PAIRS[axis][0] is side else self._body[axis]
        ends = [(0, size) for size in self._body]
        ends[axis] = (at, at)
        return [self.point((a, b, c)) for a in ends[0] for b in ends[1] for c in ends[2]]

    def on(self, side: Side, solid: Solid) -> list[Point]:
        """The corners of a solid that lie in one side of the body, or stand beyond it."""
        axis = axis_of(side)
        at_zero = PAIRS[axis][0] is side
        within = [c for c in solid.corners if (c[axis] <= 0 if at_zero else c[axis] >= self._body[axis])]
        return [self.point(corner) for corner in within]

    def _far(self, side: Side, corner: Sequence[float]) -> float:
        axis = axis_of(side)
        place = min(max(corner[axis], 0), self._body[axis])
        return self._scales[axis] * (place if PAIRS[axis][0] is side else self._body[axis] - place)


def _cutout(canvas: Canvas, box: _Drawn, solid: Solid, kind: str) -> None:
    """What is out of each side: open where the side is seen, a broken line where wood is before it."""
    for side in Side:
        points = box.on(side, solid)
        if _is_face(points):
            canvas.path(f"slot{kind}" if side in box.sides else f"unseen{kind}", outline(points))


def _is_face(points: Iterable[Point]) -> bool:
    return len({(round(x, 1), round(y, 1)) for x, y in points}) > 2
