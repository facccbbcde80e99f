"""A joint as it follows from its numbers: post and rail drawn apart, to proportion, the tenons in the rail."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from stopwright.actions.jobs.joint_answers import Sketch
from stopwright.lengths import Show
from stopwright.model.joints import Side
from stopwright.paper.slot_outline import slot_outline
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.web.drawings.joint_sizes import MOST_RAILS, REFERENCE_BESIDE, Sizes, side_name, sizes_of
from stopwright.web.drawings.svg import svg_of

RIGHT_SIDES = (Side.EDGE, Side.BACK)
"""Slotted sides that lie at the right when one looks at the reference side beside them, marked end up."""
LEAN, RISE = 0.5, 0.34
"""How far what lies behind moves aside and up."""
FIGURE = 62
"""Room at either side for a figure beside the rail."""


@dataclass(frozen=True, slots=True)
class _Room:
    """From millimetres of a joint to places on the board: n out of the slotted side, a along the post, b behind."""

    scale: float
    x: float
    y: float
    way: int

    def at(self, n: float, a: float, b: float) -> tuple[float, float]:
        return (
            self.x + self.way * self.scale * (n + LEAN * b),
            self.y + self.scale * (a - RISE * b),
        )


def draw_joint(sketch: Sketch, show: Show) -> Markup:
    """Post and rail drawn apart, the tenons in the rail: seen from the reference side, so that the hand is true."""
    canvas = Canvas()
    if sketch.side is None:
        return Markup("")
    sizes = sizes_of(sketch)
    way = 1 if sketch.side in RIGHT_SIDES else -1
    gap = sizes.depth_post + max(10.0, sizes.depth_post * 0.4)
    shown_rail = min(sizes.rail[0], max(2.2 * sizes.rail[1], sizes.depth_rail * 1.6))
    bottom = max(sizes.drops) + sizes.rail[1]
    whole = sizes.top + bottom + max(0.5 * sizes.rail[1], 0.6 * sizes.through)
    length = min(sizes.top + sizes.length, whole)
    wide = sizes.through + gap + shown_rail + LEAN * sizes.behind
    scale = min((WIDE - 2 * FIGURE) / wide, 330 / (length + RISE * sizes.behind))
    left = (WIDE - scale * wide) / 2
    x = left + scale * sizes.through if way > 0 else WIDE - left - scale * sizes.through
    room = _Room(scale, x, 26 + scale * (RISE * sizes.behind), way)
    _box(canvas, room, (-sizes.through, 0), (0, length), (0, sizes.behind))
    if sizes.top:
        _line(canvas, "centre", room.at(-sizes.through, sizes.top, 0), room.at(0, sizes.top, 0))
    if length < sizes.top + sizes.length:
        _broken(canvas, room, sizes.through, length)
    for drop in sizes.drops:
        _post_slots(canvas, room, sizes, drop)
    for drop in sizes.drops[:MOST_RAILS]:
        _rail(canvas, room, sizes, drop, gap, shown_rail)
    _measures(canvas, room, sketch, sizes, gap, shown_rail)
    canvas.words("marked end", *_above(room.at(-sizes.through / 2, 0, sizes.behind)), kind="said small")
    canvas.tall = 40 + scale * (length + RISE * sizes.behind) + 22
    canvas.words(
        f"seen from the post’s {REFERENCE_BESIDE[sketch.side]}", WIDE / 2, canvas.tall - 6, kind="said small soft"
    )
    where = "right" if way > 0 else "left"
    canvas.label = (
        f"Post {sketch.post.mark} upright, marked end up, seen from its {REFERENCE_BESIDE[sketch.side]}; "
        f"rail {sketch.rail.mark} comes from the {where} to its {side_name(sketch.side)}"
    )
    return svg_of(canvas, show)


def _box(
    canvas: Canvas, room: _Room, n: tuple[float, float], a: tuple[float, float], b: tuple[float, float], kind: str = ""
) -> None:
    """A solid: its front, its top, and the side that looks out of the joint."""
    low, high = n
    (top, bottom), (near, behind) = a, b
    faces = {
        "side": ((high, top, near), (high, top, behind), (high, bottom, behind), (high, bottom, near)),
        "top": ((low, top, near), (high, top, near), (high, top, behind), (low, top, behind)),
        "front": ((low, top, near), (high, top, near), (high, bottom, near), (low, bottom, near)),
    }
    for face, points in faces.items():
        canvas.path(f"wood {face} {kind}".strip(), _through([room.at(*point) for point in points]))


def _post_slots(canvas: Canvas, room: _Room, sizes: Sizes, drop: float) -> None:
    for start, end in sizes.slots:
        a, b = sizes.top + drop + start, sizes.top + drop + end
        for centre in sizes.centres:
            outline = [room.at(0, along, across) for along, across in slot_outline(a, b, centre, sizes.bit)]
            canvas.path("slot", _through(outline))
        hidden = [room.at(n, along, 0) for n, along in ((0, a), (-sizes.depth_post, a), (-sizes.depth_post, b), (0, b))]
        canvas.path("hidden", _through(hidden, close=False))


def _rail(canvas: Canvas, room: _Room, sizes: Sizes, drop: float, gap: float, shown: float) -> None:
    top = sizes.top + drop
    for start, end in sizes.slots:
        for centre in sizes.centres[::-1]:  # the farther one first, so that the nearer one covers it
            beside = (centre - sizes.bit / 2, centre + sizes.bit / 2)
            _box(canvas, room, (gap - sizes.depth_post, gap), (top + start, top + end), beside, "tenon")
    _box(canvas, room, (gap, gap + shown), (top, top + sizes.rail[1]), (sizes.setback, sizes.setback + sizes.rail[2]))
    for start, end in sizes.slots:
        corners = ((gap, start), (gap + sizes.depth_rail, start), (gap + sizes.depth_rail, end), (gap, end))
        canvas.path("hidden", _through([room.at(n, top + a, sizes.setback) for n, a in corners], close=False))


def _measures(canvas: Canvas, room: _Room, sketch: Sketch, sizes: Sizes, gap: float, shown: float) -> None:
    """The figures a person has entered, each where it lies."""
    top = sizes.top + sizes.drops[0]
    anchor = "end" if room.way > 0 else "start"
    if sketch.values.get("drop"):
        x, y = room.at(-sizes.through, sizes.top + sizes.drops[0] / 2, 0)
        canvas.length(sketch.length("drop"), x - room.way * 14, y + 5, anchor)
        _measure(canvas, room.at(-sizes.through, sizes.top, 0), room.at(-sizes.through, top, 0), -room.way * 8)
    outer = "start" if room.way > 0 else "end"
    for field, place in (("slot_from", sizes.slots[0][0]), ("slot_to", sizes.slots[0][1])):
        if sketch.values.get(field) is not None:
            inside, y = room.at(gap + shown, top + place, sizes.setback)
            x, _ = room.at(gap + shown, 0, sizes.setback + sizes.rail[2])  # beside the end as it is seen, not on it
            _line(canvas, "thin", room.at(gap + sizes.depth_rail, top + place, sizes.setback), (inside, y))
            shift = -2 if field == "slot_from" and (sizes.slots[0][1] - sizes.slots[0][0]) * room.scale < 14 else 5
            canvas.length(sketch.length(field), x + room.way * 6, y + shift, outer)
    if (sizes.depth_post + sizes.depth_rail) * room.scale < 64:
        return
    if sketch.values.get("depth_rail"):
        x, y = room.at(gap + sizes.depth_rail / 2, top + sizes.rail[1], sizes.setback)
        canvas.length(sketch.length("depth_rail"), x, y + 16)
    if sketch.values.get("depth_post"):
        x, y = room.at(-sizes.depth_post / 2, top + sizes.slots[-1][1], 0)
        canvas.length(sketch.length("depth_post"), x, y + 16)


def _measure(canvas: Canvas, one: tuple[float, float], two: tuple[float, float], aside: float) -> None:
    x = one[0] + aside
    canvas.path(
        "dimension", f"M{x:.1f} {one[1]:.1f}V{two[1]:.1f}M{x - 4:.1f} {one[1]:.1f}h8M{x - 4:.1f} {two[1]:.1f}h8"
    )


def _broken(canvas: Canvas, room: _Room, through: float, length: float) -> None:
    (x1, y), (x2, _) = room.at(-through, length, 0), room.at(0, length, 0)
    low, high = min(x1, x2), max(x1, x2)
    step = (high - low) / 6
    way = f"M{low - 3:.1f} {y:.1f}" + "".join(f"l{step + 1:.1f} {5 if i % 2 else -5}" for i in range(6))
    canvas.path("break", way)


def _line(canvas: Canvas, kind: str, one: tuple[float, float], two: tuple[float, float]) -> None:
    canvas.line(kind, *one, *two)


def _through(points: list[tuple[float, float]], close: bool = True) -> str:
    return "M" + "L".join(_pairs(points)) + ("z" if close else "")


def _pairs(points: list[tuple[float, float]]) -> Iterator[str]:
    return (f"{x:.1f} {y:.1f}" for x, y in points)


def _above(place: tuple[float, float]) -> tuple[float, float]:
    return (min(max(place[0], 50.0), WIDE - 50), place[1] - 8)
