"""The shop in a test puts things together: nothing overlaps, and every gap is as it was stated.

Pieces are boxes less what the job's cuts take away, worked out here and not by the planner; they are stood into space
piece by piece. Space is divided along all their planes, so nothing is rounded. Lengths in mm.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

import numpy as np
import pytest
from tests.plan.making.made import a_thing, made
from tests.shop.test_cuts import _rooms

from stopwright.lengths import MM
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Kind
from stopwright.model.things import Opening
from stopwright.plan.making.drawer import Guide
from stopwright.plan.making.drawer_corners import Corner
from stopwright.plan.making.frame import FrameCorner

DOOR = {"width": 500, "height": 700, "stiles": 60, "bottom": 80, "thickness": 22, "groove_depth": 10}

Box = tuple[tuple[Fraction, Fraction], ...]


@dataclass(frozen=True)
class Placed:
    """A piece in space: its box, and the boxes that are cut out of it."""

    name: str
    whole: Box
    out: tuple[Box, ...]


def place(job: Job, mark: str, corner: tuple[float, ...], axes: tuple[str, ...], name: str = "") -> Placed:
    """A piece with its marked end, face edge and face side at `corner`, its x, y and z along `axes` such as "+Y"."""
    part = job.part(mark)
    boxes = [tuple((0, one) for one in part.size)]
    for cut in job.cuts:
        if mark in cut.parts:
            boxes += list(_rooms(cut, cut.parts.index(mark), part, job))

    def stood(box):
        spans: dict[int, tuple[Fraction, Fraction]] = {}
        for (near, far), axis in zip(box, axes, strict=True):
            way, start = (1 if axis[0] == "+" else -1), Fraction(str(corner["XYZ".index(axis[1])]))
            ends = start + way * Fraction(near, MM), start + way * Fraction(far, MM)
            spans["XYZ".index(axis[1])] = (min(ends), max(ends))
        return tuple(spans[one] for one in range(3))

    whole, *out = (stood(box) for box in boxes)
    return Placed(name or mark, whole, tuple(out))


def overlaps(pieces: list[Placed]) -> list[tuple[str, str]]:
    """Pairs of pieces of which some wood is in the same place."""
    planes = [
        sorted({end for piece in pieces for box in (piece.whole, *piece.out) for end in box[axis]}) for axis in range(3)
    ]

    def cells(box: Box) -> tuple[slice, ...]:
        return tuple(slice(planes[axis].index(near), planes[axis].index(far)) for axis, (near, far) in enumerate(box))

    filled = {}
    for piece in pieces:
        room = np.zeros([len(one) - 1 for one in planes], dtype=bool)
        room[cells(piece.whole)] = True
        for box in piece.out:
            room[cells(box)] = False
        filled[piece.name] = room
    return [(a, b) for a, b in combinations(filled, 2) if (filled[a] & filled[b]).any()]


def moved(piece: Placed, axis: int, by: float) -> Placed:
    """The piece pushed along an axis."""
    shift = Fraction(str(by))
    push = lambda box: tuple((n + shift, f + shift) if one == axis else (n, f) for one, (n, f) in enumerate(box))  # noqa: E731
    return Placed(piece.name, push(piece.whole), tuple(push(box) for box in piece.out))


def room_of(piece: Placed, others: list[Placed], axis: int, way: int) -> float:
    """How far a piece can be pushed along an axis before it meets another, in hundredths up to 10 mm."""
    for step in range(1, 1001):
        if any(piece.name in pair for pair in overlaps([moved(piece, axis, way * step / 100), *others])):
            return (step - 1) / 100
    return 10.0


def a_drawer(**more: object) -> tuple[list[Placed], Placed]:
    """The box of a drawer put together, its front at Y 0 and its lower edge at Z 0; and its bottom."""
    thing = a_thing("drawer", **({"width": 450, "height": 132.7, "depth": 400, "front": 16} | more))
    found = made(thing)
    job = Job("drawer", found.parts, cuts=found.cuts)
    side, front, back, bottom = (job.part(mark) for mark in ("Ds", "Df", "Db", "Dbo"))
    in_, groove = 6, 6
    long, thick = side.length / MM, side.thickness / MM
    wide = (front.length - 2 * in_ * MM + 2 * side.thickness) / MM
    lift = (front.width - back.width) / MM
    play = 0.5
    pieces = [
        place(job, "Ds", (thick, 0, 0), ("+Y", "+Z", "-X"), "left side"),
        place(job, "Ds", (round(wide - thick, 6), 0, 0), ("+Y", "+Z", "+X"), "right side"),
        place(job, "Df", (thick - in_, front.thickness / MM, 0), ("+X", "+Z", "-Y"), "front"),
        place(job, "Db", (thick - in_, long - back.thickness / MM, lift), ("+X", "+Z", "+Y"), "back"),
    ]
    at = (thick - groove + play, front.thickness / MM - groove + play, 10 + 0.1)
    under = place(job, "Dbo", at, ("+X", "+Y", "+Z"), "bottom")
    assert bottom.thickness == 6 * MM
    return pieces, under


@pytest.mark.parametrize("more", [{}, {"lowered": False}, {"guide": Guide.HIDDEN}, {"guide": Guide.WOOD, "front": 12}])
def test_a_drawer_goes_together_and_its_bottom_has_the_room_that_was_stated(more: dict[str, object]) -> None:
    pieces, bottom = a_drawer(**more)
    assert overlaps([*pieces, bottom]) == []
    across = [room_of(bottom, pieces, 0, way) for way in (-1, 1)]
    assert across == [0.5, 0.5]  # 1 smaller than its grooves, in the middle
    assert [room_of(bottom, pieces, 2, way) for way in (-1, 1)] == [0.1, 0.1]  # the play of 0.2
    behind = [room_of(bottom, pieces, 1, way) for way in (-1, 1)]
    assert behind == ([0.5, 0.5] if more.get("lowered") is False else [0.5, 10])  # it slides out under the back


def test_a_drawer_is_as_much_smaller_than_its_opening_as_its_slides_take() -> None:
    pieces, _ = a_drawer()
    wide = max(float(piece.whole[0][1]) for piece in pieces) - min(float(piece.whole[0][0]) for piece in pieces)
    high = max(float(piece.whole[2][1]) for piece in pieces)
    deep = max(float(piece.whole[1][1]) for piece in pieces) - min(float(piece.whole[1][0]) for piece in pieces)
    assert (round(450 - wide, 6), round(132.7 - high, 6), deep) == (25.4, 12.7, 400)


@pytest.mark.parametrize("lowered", [True, False])
def test_slots_for_loose_tenons_face_each_other_and_keep_clear_of_the_bottom(lowered: bool) -> None:
    thing = a_thing(
        "drawer", width=450, height=132.7, depth=350, front=18, sides=15, corner=Corner.LOOSE, lowered=lowered
    )
    found = made(thing)
    job = Job("drawer", found.parts, cuts=found.cuts)
    front, back = job.part("Df"), job.part("Db")
    lift = (front.width - back.width) / MM
    pieces = [
        place(job, "Ds", (15, 0, 0), ("+Y", "+Z", "-X"), "left side"),
        place(job, "Ds", (409.6, 0, 0), ("+Y", "+Z", "+X"), "right side"),  # 424.6 − 15
        place(job, "Df", (15, 18, 0), ("+X", "+Z", "-Y"), "front"),
        place(job, "Db", (15, 335, lift), ("+X", "+Z", "+Y"), "back"),
    ]
    bottom = place(job, "Dbo", (15 - 7 + 0.5 - 0.5, 18 - 7, 10.1), ("+X", "+Y", "+Z"), "bottom")
    assert overlaps([*pieces, bottom]) == []
    slots = {piece.name: [box for box in piece.out if _is_slot(box)] for piece in pieces}
    assert {name: len(boxes) for name, boxes in slots.items()} == {
        "left side": 6, "right side": 6, "front": 6, "back": 6,
    }  # fmt: skip
    tenons = []
    for side, plane in (("left side", Fraction(15)), ("right side", Fraction("409.6"))):
        for end in ("front", "back"):
            here = sorted(box[1:] for box in slots[side] if (box[1][0] < 100) == (end == "front"))
            there = sorted(box[1:] for box in slots[end] if plane in box[0])
            assert here == there and len(here) == 3  # the same place along the side and up from its lower edge
            tenons += [Placed("tenon", ((plane - 5, plane + 5), *where), ()) for where in here]
    assert all(overlaps([tenon, bottom]) == [] for tenon in tenons)
    assert all(float(box[2][0]) >= 26.2 and float(box[2][1]) <= 110 for boxes in slots.values() for box in boxes)


def _is_slot(box: Box) -> bool:
    """Of a corner, as wide as its bit from front to back."""
    return box[1][1] - box[1][0] == 6


def test_its_corners_have_the_play_that_was_stated() -> None:
    pieces, _ = a_drawer()
    front = next(piece for piece in pieces if piece.name == "front")
    others = [piece for piece in pieces if piece.name != "front"]
    assert room_of(front, others, 1, -1) == 0.1  # a tongue of 5.9 in a housing of 6
    assert room_of(front, others, 1, 1) == 0


def a_frame(**more: object) -> tuple[list[Placed], Placed]:
    """The bars of a frame put together, its upper left corner at X 0, Y 0; and its panel in the middle."""
    found = made(a_thing("frame", **(DOOR | more)))
    job = Job("frame", found.parts, cuts=found.cuts)
    tongue = 0.0 if more.get("corner") is FrameCorner.LOOSE else 9.5
    panel = job.part("Fp")
    clear_wide, clear_high = 500 - 2 * 60, 700 - 60 - 80
    beside = (clear_wide - panel.width / MM) / 2
    above = (clear_high - panel.length / MM) / 2
    pieces = [
        place(job, "Fst", (60, 0, 0), ("-Y", "-X", "+Z"), "left stile"),
        place(job, "Fst", (440, 0, 0), ("-Y", "+X", "+Z"), "right stile"),
        place(job, "Ftr", (60 - tongue, 0, 0), ("+X", "-Y", "+Z"), "top rail"),
        place(job, "Fbr", (60 - tongue, -620, 0), ("+X", "-Y", "+Z"), "bottom rail"),
    ]
    lies = 8.0 if more.get("panel_side") is not Side.FACE else 8.0 + 6 - panel.thickness / MM
    return pieces, place(job, "Fp", (60 + beside, -60 - above, lies), ("-Y", "+X", "+Z"), "panel")


@pytest.mark.parametrize("corner", FrameCorner)
@pytest.mark.parametrize(("kind", "gap"), [(Kind.SHEET, 0.5), (Kind.SOLID, 3)])
def test_a_frame_goes_together_and_its_panel_has_the_room_that_was_stated(
    corner: FrameCorner, kind: Kind, gap: float
) -> None:
    pieces, panel = a_frame(corner=corner, panel_kind=kind)
    assert overlaps([*pieces, panel]) == []
    assert [room_of(panel, pieces, 0, way) for way in (-1, 1)] == [gap, gap]
    assert [room_of(panel, pieces, 1, way) for way in (-1, 1)] == [0.5, 0.5]
    assert [room_of(panel, pieces, 2, way) for way in (-1, 1)] == [0.1, 0.1]


@pytest.mark.parametrize(("kind", "gap"), [(Kind.SHEET, 0.5), (Kind.SOLID, 3)])
def test_a_frame_whose_rails_came_out_short_has_the_room_that_was_stated_when_it_was_measured_dry(
    kind: Kind, gap: float
) -> None:
    short = 1.6  # rails and stiles
    thing = a_thing("frame", **DOOR, panel_kind=kind, dry_fit=True)
    lit = Opening(light_width=(round((380 - short) * MM),), light_height=(round((560 - short) * MM),))
    found = made(replace(thing, openings=(lit,)))
    cut = [one if one.mark == "Fp" else replace(one, length=one.length - round(short * MM)) for one in found.parts]
    job = Job("frame", tuple(cut), cuts=found.cuts)
    panel, right, low = job.part("Fp"), 440 - short, -620 + short
    pieces = [
        place(job, "Fst", (60, 0, 0), ("-Y", "-X", "+Z"), "left stile"),
        place(job, "Fst", (right, 0, 0), ("-Y", "+X", "+Z"), "right stile"),
        place(job, "Ftr", (50.5, 0, 0), ("+X", "-Y", "+Z"), "top rail"),
        place(job, "Fbr", (50.5, low, 0), ("+X", "-Y", "+Z"), "bottom rail"),
    ]
    at = (50 + gap, -60 + 10 - 0.5, 8.0)  # as deep in the grooves of the left stile and the top rail as it is to lie
    fitted = place(job, "Fp", at, ("-Y", "+X", "+Z"), "panel")
    assert overlaps([*pieces, fitted]) == []
    assert [room_of(fitted, pieces, 0, way) for way in (-1, 1)] == [gap, gap]
    assert [room_of(fitted, pieces, 1, way) for way in (-1, 1)] == [0.5, 0.5]
    drawn = made(replace(thing, dry_fit=False)).parts[-1]
    assert (drawn.width - panel.width, drawn.length - panel.length) == (round(short * MM), round(short * MM))


def test_the_panel_stays_in_its_grooves_however_it_is_pushed() -> None:
    pieces, panel = a_frame(panel_kind=Kind.SOLID)
    (left, right), (low, high) = panel.whole[0], panel.whole[1]
    assert 60 - float(left) - 3 > 0 and float(right) - 440 - 3 > 0  # pushed by its gap it still lies behind the edges
    assert float(high) + 60 - 0.5 > 0 and -620 - float(low) - 0.5 > 0
    assert any("panel" in pair for pair in overlaps([moved(panel, 0, 3.01), *pieces]))


@pytest.mark.parametrize("side", [Side.FACE, Side.BACK])
@pytest.mark.parametrize("kind", [Kind.SHEET, Kind.SOLID])
def test_a_rebated_panel_goes_into_its_grooves_and_may_be_pushed_to_their_bottoms(kind: Kind, side: Side) -> None:
    pieces, panel = a_frame(panel_kind=kind, panel_full=14, panel_side=side)
    assert overlaps([*pieces, panel]) == []
    gap = 3 if kind is Kind.SOLID else 0.5
    assert [room_of(panel, pieces, 0, way) for way in (-1, 1)] == [gap, gap]
    assert [room_of(panel, pieces, 1, way) for way in (-1, 1)] == [0.5, 0.5]
    assert [room_of(panel, pieces, 2, way) for way in (-1, 1)] == [0.1, 0.1]


def test_stub_tongues_close_at_their_shoulders() -> None:
    pieces, _ = a_frame()
    rail = next(piece for piece in pieces if piece.name == "top rail")
    others = [piece for piece in pieces if piece.name != "top rail"]
    assert [room_of(rail, others, 0, way) for way in (-1, 1)] == [0, 0]
    assert room_of(rail, others, 2, -1) == 0 and room_of(rail, others, 2, 1) == 0.1  # flush at the face side


def test_the_test_sees_what_overlaps() -> None:
    pieces, bottom = a_drawer()
    assert overlaps([*pieces, moved(bottom, 2, 0.2)]) != []
