"""Bore: single holes and rows, at a borer with fence, end stop and peg, or at a slot mortiser without travel."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import ClassVar

from stopwright.errors import Problem
from stopwright.lengths import Nm, SignedNm, format_length
from stopwright.model.cuts import Cut, asked
from stopwright.model.gear import Drills, EndStops, SlotBits
from stopwright.model.job import Job
from stopwright.model.joints import EDGES, ENDS, Side
from stopwright.model.parts import Part
from stopwright.model.solid import Solid
from stopwright.model.stations import Shop, Station
from stopwright.plan.joinery.hands import OUTWARD, Vector
from stopwright.plan.joinery.lateral_scale import from_the_stop, is_on_one_scale, places_in
from stopwright.plan.operations.caution import DUST, STOP_MOVES, Caution, always
from stopwright.plan.operations.operation import Operation, Setups, Stage, Task
from stopwright.plan.operations.roles import (
    BIT,
    DEPTH,
    DRILL,
    DRILL_DEPTH,
    DRILL_FENCE,
    END_STOP_LEFT,
    END_STOP_RIGHT,
    PEG,
    TABLE_HEIGHT,
    TRAVEL_FROM,
    TRAVEL_TO,
)
from stopwright.plan.pictures.canvas import WIDE, Canvas
from stopwright.plan.run_sheet import Measured, Move, Run
from stopwright.plan.stations.cut_helpers import beyond, follow_pieces
from stopwright.plan.stations.cut_setups import CALLED, Lying, MayUse, Pass, Places, Wanted, plan_cuts
from stopwright.plan.stations.cut_words import why_like_this
from stopwright.plan.stations.flip_stops_up import FlipStops
from stopwright.plan.stations.part_sides import FACES, across_of, opposite, size_along, slab

WORK = "bore"


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes(Cut):
    """A row of holes: the row `at` from the side `from_`, the first centre `first` from the reference end; nm.

    On a long side that is the marked end, on an end the face edge.
    """

    kind: ClassVar[str] = "holes"
    letter: ClassVar[str] = "S"
    has_centre: ClassVar[bool] = True

    side: Side = asked("Side", "the side that is bored into")
    from_: Side = asked("Measured from", "the side that the row is measured from", among=(*EDGES, *FACES))
    at: Nm = asked("Row", "from there to the centres")
    first: Nm = asked("First hole", "its centre from the marked end; on an end, from the face edge")
    pitch: Nm = asked("Pitch", "from hole to hole", 0)
    count: int = asked("Holes", "how many in the row", 1)
    diameter: Nm = asked("Diameter", "of the drill")
    depth: Nm = asked("Depth", "of the hole")

    def problems(self) -> Iterator[Problem]:
        """A reference that does not lie beside the side, no holes, holes that run into each other, nothing deep."""
        beside = FACES if self.side in ENDS else across_of(self.side)
        if self.from_ not in beside:
            choices = " or ".join(beside)
            yield Problem("from", f"'{self.from_}' does not lie beside the {self.side}", f"choose {choices}")
        if not 1 <= self.count <= 500:
            yield Problem("count", f"{self.count} is not from 1 to 500", "write how many holes the row has")
        if self.count > 1 and self.pitch < self.diameter:
            yield Problem("pitch", "the holes would run into each other", "write the distance from hole to hole")
        for one in ("diameter", "depth"):
            if getattr(self, one) <= 0:
                yield Problem(one, "is not above 0", f"write its {one}")
        for one in ("at", "first"):
            if 2 * getattr(self, one) < self.diameter:
                yield Problem(one, "is less than half a hole: it would break out", "measure to its centre")

    @property
    def reference(self) -> Side:
        """What the first hole is measured from."""
        return Side.EDGE if self.side in ENDS else Side.MARKED_END

    @property
    def last(self) -> Nm:
        """The centre of the last hole."""
        return self.first + (self.count - 1) * self.pitch

    @property
    def needs_marked_end(self) -> bool:
        """Unless the other end is bored into."""
        return self.side is not Side.OTHER_END

    def removes(self, _: Job, part: Part) -> Iterator[Solid]:
        """Each hole with the square around it."""
        if part.mark in self.parts:
            half = self.diameter // 2
            row: tuple[SignedNm, SignedNm] = (self.at - half, self.at + half)
            for number in range(self.count):
                centre = self.first + number * self.pitch
                along = (centre - half, centre + half)
                yield slab(self.mark, part, {self.from_: row, self.reference: along, self.side: (0, self.depth)})


def _setups(task: Task) -> Setups:
    wanted = [
        Wanted(cut, part, Stage.SLOTS, partial(_passes, cut, part, task.shop))
        for cut in task.job.cuts
        if isinstance(cut, Holes)
        for part in (task.job.part(mark) for mark in cut.parts)
    ]
    return plan_cuts(task, WORK, wanted)


def _passes(cut: Holes, part: Part, shop: Shop, station: Station, _: MayUse) -> Sequence[Pass] | str:
    half = cut.diameter // 2
    reach = {cut.from_: cut.at + half, cut.reference: cut.last + half, cut.side: cut.depth}
    for text in beyond(part, reach, shop):
        return text
    if station.axis(DRILL_FENCE.name):
        if cut.side not in FACES:
            return f"the {station.name} bores from above, and the part does not stand on its side; use a slot mortiser"
        if station.of(Drills).drills and cut.diameter not in station.of(Drills).drills:
            return f"the {station.name} has no drill of {format_length(cut.diameter, shop.show)}; write it in drills"
        return _at_a_borer(cut, station)
    if station.axis(TABLE_HEIGHT.name):
        if cut.side in FACES:
            return f"the {station.name} bores into edges and ends; give it to a borer"
        if station.of(SlotBits).bits and cut.diameter not in station.of(SlotBits).bits:
            return f"the {station.name} has no bit of {format_length(cut.diameter, shop.show)}; write it in bits"
        return _at_a_mortiser(cut, station)
    return f"the {station.name} has neither a drill fence nor a table height to set; add the axis"


def _at_a_borer(cut: Holes, station: Station) -> Sequence[Pass] | str:
    """The face up, its edge against the fence, the marked end at a stop; the peg takes the holes after the first."""
    passes = []
    for mirrored in (False, True):
        left = _right_of(cut.from_, cut.side) == (1, 0, 0)
        at, stop = ("left", END_STOP_LEFT) if left is not mirrored else ("right", END_STOP_RIGHT)
        if not station.axis(stop.name):
            return f"the {station.name} has no {stop.name} to set; add an axis that sets {stop.name}"
        base: Places = ((DRILL.name, cut.diameter), (DRILL_FENCE.name, cut.at), (DRILL_DEPTH.name, cut.depth))
        note = f"{CALLED.get(cut.side, str(cut.side))} up, {CALLED.get(cut.from_, str(cut.from_))} against the fence"
        lying = Lying(opposite(cut.side), cut.reference, at)
        if cut.count > 1 and station.axis(PEG.name):
            places = (*base, (stop.name, cut.first), (PEG.name, cut.pitch))
            passes.append(Pass(places, lying, None, f"{note}; {cut.count} holes, hole after hole on the peg", mirrored))
            continue
        for number in range(cut.count):
            places = (*base, (stop.name, cut.first + number * cut.pitch))
            passes.append(Pass(places, lying, None, f"{note}; hole {number + 1} of {cut.count}", mirrored))
    return passes


def _at_a_mortiser(cut: Holes, station: Station) -> Sequence[Pass] | str:
    """As a slot without travel: the side that the row is measured from lies down."""
    passes = []
    for mirrored in (False, True):
        left = _right_of(opposite(cut.side), opposite(cut.from_)) == _into(cut.reference)
        at, stop = ("left", END_STOP_LEFT) if left is not mirrored else ("right", END_STOP_RIGHT)
        if not station.axis(stop.name):
            return f"the {station.name} has no {stop.name} to set; add an axis that sets {stop.name}"
        # On one scale the right-hand stop stands so that the row, counted from it, falls on the places of the left one.
        end = cut.first + cut.last if at == "right" and station.of(EndStops).one_scale else 0
        for number in range(cut.count):
            centre = cut.first + number * cut.pitch
            travel = end - centre if end else centre
            places: Places = (
                (BIT.name, cut.diameter),
                (TABLE_HEIGHT.name, cut.at),
                (DEPTH.name, cut.depth),
                (TRAVEL_FROM.name, travel),
                (TRAVEL_TO.name, travel),
                (stop.name, end),
            )
            there = tuple(one for one in places if station.axis(one[0]))
            note = f"{cut.side} to the bit; hole {number + 1} of {cut.count}, no travel"
            passes.append(Pass(there, Lying(cut.from_, cut.reference, at), None, note, mirrored))
    return passes


def _into(reference: Side) -> Vector:
    return (0, 1, 0) if reference is Side.EDGE else (1, 0, 0)


def _right_of(forward: Side, up: Side) -> Vector:
    """What lies to the right of somebody who looks along the outward normal of one side, another side being up."""
    f, u = OUTWARD[forward], OUTWARD[up]
    return (f[1] * u[2] - f[2] * u[1], f[2] * u[0] - f[0] * u[2], f[0] * u[1] - f[1] * u[0])


def _measured(run: Run) -> Mapping[str, Measured]:
    """Row, first hole and depth by the hole itself."""
    places = places_in(run)
    what = {
        DRILL_FENCE.name: "centre of a hole from the fence side",
        TABLE_HEIGHT.name: "centre of a hole from the side that lay down",
        DRILL_DEPTH.name: "depth of a hole",
        DEPTH.name: "depth of a hole",
    }
    if TRAVEL_FROM.name not in places:
        what |= dict.fromkeys((END_STOP_LEFT.name, END_STOP_RIGHT.name), "centre of the first hole from the end")
    found = {sets: Measured(words, places[sets]) for sets, words in what.items() if sets in places}
    middle = from_the_stop(places, 0)
    if middle:
        words = "centre of the hole from the end at the stop"
        found[TRAVEL_FROM.name] = Measured(words, middle[0], is_on_one_scale(places))
    return found


def _reason(run: Run, before: Sequence[Run], _: Sequence[Run], shop: Shop) -> Iterator[str]:
    yield "after the length is cut: the first hole is measured from an end"
    if any(stop.sets == PEG.name for stop in run.stops):
        yield "one stop and a peg for the whole row"
    yield from why_like_this(run, before, shop)


def _picture(canvas: Canvas, run: Run, job: Job, _: FlipStops | None) -> None:
    """The piece from above: fence behind it, end stop at its side, the first hole in its place and those after it."""
    by_role = {stop.sets: stop for stop in run.stops}
    pieces = next((one for one in run.pieces if one.at), None)
    row = by_role.get(DRILL_FENCE.name) or by_role.get(TABLE_HEIGHT.name)
    first = by_role.get(END_STOP_LEFT.name) or by_role.get(END_STOP_RIGHT.name)
    if pieces is None or row is None or first is None:
        return
    centre = by_role.get(TRAVEL_FROM.name, first)
    right = pieces.at == "right"
    stop, inward = (314.0, -1) if right else (46.0, 1)
    part = job.part(pieces.mark)
    wide = size_along(part, Side.EDGE if row.sets == DRILL_FENCE.name else Side.FACE)
    places = places_in(run)
    middle = from_the_stop(places, 0)
    at, far = row.reads, middle[0] if middle else places.get(first.sets, 0)
    scale = min(54 / max(wide, at, 1), 150 / max(far, 1))
    peg, drill = by_role.get(PEG.name), by_role.get(DRILL.name) or by_role.get(BIT.name)
    radius = max(drill.target * scale / 2, 1) if drill and isinstance(drill.target, int) else 4
    canvas.box("fence", 8, 8, WIDE - 16, 10)
    free = stop + inward * 230
    canvas.wood(min(stop, free), 18, abs(free - stop), wide * scale)
    canvas.box("stop" if first.move is Move.SET else "stop stands", stop - (0 if right else 13), 8, 13, 58)
    for number in range(3 if peg else 1):
        step = peg.target if peg and isinstance(peg.target, int) else 0
        x = stop + inward * (far + number * step) * scale
        if min(stop, free) < x < max(stop, free):
            canvas.circle("bit" if number == 0 else "slot", x, 18 + at * scale, radius)
    floor = 18 + wide * scale
    ends = sorted((stop, stop + inward * far * scale))
    canvas.across(ends[0], ends[1], floor + 12, far, "" if is_on_one_scale(places) else centre.axis)
    canvas.tall = floor + 36
    canvas.label = f"The row in its place: {pieces.reference} at the {pieces.at} stop, the first hole from it"


OPERATION = Operation(
    work=WORK,
    stage=Stage.SLOTS,
    title="bore",
    comes_to="comes to",
    roles=(
        DRILL,
        DRILL_FENCE,
        DRILL_DEPTH,
        PEG,
        BIT,
        TABLE_HEIGHT,
        DEPTH,
        TRAVEL_FROM,
        TRAVEL_TO,
        END_STOP_LEFT,
        END_STOP_RIGHT,
    ),
    gear=(Drills,),
    asked=(Holes,),
    setups=_setups,
    follow=follow_pieces,
    measured=_measured,
    cautions=(
        STOP_MOVES,
        DUST,
        Caution(
            "Clamp the piece or hold it against fence and stop; no gloves at a turning drill.",
            "common practice",
            "P",
            always,
        ),
    ),
    reason=_reason,
    picture=_picture,
)
