"""Two discs with a ring between them on the spindle: both cheeks of a tongue or tenon in one pass, at one height.

The ring is as thick as what is left standing, and as much more as the teeth of both discs stand beyond their bodies
into the gap (geometry; published: a tenon of 5/16 in between rings of 1/4 and 1/16, the discs ground hollow).
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations

from stopwright.lengths import MM, Nm, SignedNm, format_length
from stopwright.model.gear import Discs
from stopwright.model.joints import Side
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.caution import Caution, Scene
from stopwright.plan.operations.operation import Setups
from stopwright.plan.operations.roles import BLADE_HEIGHT, CUTTER, SPINDLE_FENCE, SPINDLE_HEIGHT, TOOL
from stopwright.plan.run_sheet import Measured, Pieces, Run
from stopwright.plan.said_lengths import said_small
from stopwright.plan.stations.cut_helpers import at_a_cut
from stopwright.plan.stations.cut_setups import CALLED, Lying, Pass

RING_TOLERANCE: Nm = MM // 20
"""How far from what is asked for the rings may leave a tongue or tenon (common practice: a paper's thickness)."""
_MOST_RINGS = 4
_LEAVES_TOOL = (SPINDLE_HEIGHT.name, SPINDLE_FENCE.name, BLADE_HEIGHT.name)


@dataclass(frozen=True, slots=True)
class Cheeks:
    """What stands between two cheeks: `near` is taken off from the face side, `thickness` stays, `far` goes; nm.

    Both are `deep` from the side `end`, which is led along the fence.
    """

    end: Side
    near: Nm
    thickness: Nm
    far: Nm
    deep: Nm


@cache
def rings_for(rings: tuple[Nm, ...], wanted: Nm) -> tuple[Nm, ...]:
    """The rings on hand that together come nearest to that within the tolerance, the fewest of them; () if none do.

    >>> sixteenth = 25_400_000 // 16
    >>> rings_for((2 * sixteenth, 4 * sixteenth, sixteenth), 5 * sixteenth) == (4 * sixteenth, sixteenth)
    True
    >>> rings_for((8 * MM,), 6 * MM)
    ()
    """
    stacks = (
        stack for count in range(1, _MOST_RINGS + 1) for stack in combinations(sorted(rings, reverse=True), count)
    )
    best = min(stacks, key=lambda stack: (abs(sum(stack) - wanted), len(stack), stack), default=())
    return best if best and abs(sum(best) - wanted) <= RING_TOLERANCE else ()


def both_cheeks(cheeks: Cheeks, shop: Shop, station: Station) -> Pass | None:
    """Both cheeks in one pass, None where the station has no such discs and rings.

    The height is that of the ring's lower side, where the near cheek comes: the face side lies down.
    """
    on_hand = station.of(Discs)
    height, fence, cutter = (station.axis(role.name) for role in (SPINDLE_HEIGHT, SPINDLE_FENCE, CUTTER))
    if not (height and fence and cutter) or min(cheeks.near, cheeks.far) <= 0:
        return None
    wide = min((one for one in on_hand.discs if one >= max(cheeks.near, cheeks.far)), default=0)
    rings = rings_for(on_hand.rings, cheeks.thickness + on_hand.disc_teeth)
    if not (wide and rings) or (on_hand.disc_reach is not None and cheeks.deep > on_hand.disc_reach):
        return None
    gap = sum(rings) - on_hand.disc_teeth
    stack = " + ".join(format_length(one, shop.show) for one in rings)
    named = f"discs {format_length(wide, shop.show)} with {'ring' if len(rings) == 1 else 'rings'} {stack}"
    places = ((CUTTER.name, named), (SPINDLE_HEIGHT.name, cheeks.near), (SPINDLE_FENCE.name, cheeks.deep))
    return Pass(places, Lying(Side.FACE, cheeks.end, "fence"), note=_note(gap - cheeks.thickness), tool=wide, ring=gap)


def _note(off: SignedNm) -> str:
    said = [
        "both cheeks in one pass, the ring between the discs",
        "the height is read at the lower side of the ring, where the lower disc ends",
    ]
    if off:
        said.append(f"it comes out {said_small(abs(off))} {'thicker' if off > 0 else 'thinner'} than asked")
    return "; ".join(said)


def where_it_saves(planned: Callable[[bool], Setups], shop: Shop) -> Setups:
    """The plan of cuts with two discs (True) where that takes fewer minutes of setting and passing, else without."""
    without = planned(False)
    if not any(station.of(Discs).discs for station in shop.stations):
        return without
    with_discs = planned(True)

    def rank(setups: Setups) -> tuple[int, float]:
        return len(setups.faults), round(_minutes(setups, shop), 6)

    return with_discs if rank(with_discs) < rank(without) else without


def _minutes(setups: Setups, shop: Shop) -> float:
    """Each position set once, what stands with a tool once for each tool, and each piece passed as often as it lies."""
    stations = {station.name: station for station in shop.stations}
    runs = [run for setup in setups.setups for run in setup.runs]
    cost = {(station.name, axis.name): axis.minutes for station in shop.stations for axis in station.axes}
    places = set()
    for run in runs:
        tool = next((stop.target for stop in run.stops if stop.sets in (CUTTER.name, TOOL.name)), None)
        for stop in run.stops:
            places.add((run.station, stop.axis, stop.place, tool if stop.sets in _LEAVES_TOOL else None))
    setting = sum(cost[station, axis] for station, axis, *_ in places)
    return setting + sum(stations[run.station].minutes_per_piece * _passes(run.pieces) for run in runs)


def _passes(pieces: Sequence[Pieces]) -> int:
    return sum(one.count * len(one.each) for one in pieces)


def at_the_cheeks(run: Run) -> Mapping[str, Measured]:
    """What is measured at a cut, or at two discs: what the lower one leaves off, and how long the tongue stands."""
    if not run.ring:
        return at_a_cut(run)
    places = {stop.sets: stop.target for stop in run.stops if isinstance(stop.target, int)}
    down = CALLED[Side.FACE]
    return {
        SPINDLE_HEIGHT.name: Measured(f"lower cheek from the {down}", places[SPINDLE_HEIGHT.name]),
        SPINDLE_FENCE.name: Measured("length from shoulder to end", places[SPINDLE_FENCE.name]),
    }


def why_two_discs(run: Run, saves: str, shop: Shop) -> str:
    """What one pass saves, and what the thickness hangs on; a sentence without capital and full stop."""
    thick = format_length(run.ring, shop.show)
    return f"both cheeks in one pass save {saves}; the rings alone leave {thick}, whatever the wood is"


def with_two_discs(scene: Scene) -> bool:
    """At a run with two discs."""
    return bool(scene.run.ring)


TWO_DISCS = (
    Caution(
        "Discs and rings clean and flat, both discs alike in diameter, the nut tight; turn them once by hand, and run "
        "them no faster than either may.",
        "common practice",
        "P",
        with_two_discs,
    ),
    Caution(
        "Measure the first tongue or tenon between the rings: another ring mends it, not the height.",
        "common practice",
        "P",
        with_two_discs,
    ),
)
