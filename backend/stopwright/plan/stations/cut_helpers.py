"""What the files of cut operations share: how pieces pass a run, and whether a cut lies within its part."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from stopwright.lengths import INCH, MM, Nm, format_length
from stopwright.model.gear import Blade
from stopwright.model.joints import RailEnds, Side
from stopwright.model.parts import Part
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.operation import Worked
from stopwright.plan.operations.roles import BLADE_HEIGHT, LENGTH, SPINDLE_FENCE, SPINDLE_HEIGHT, TOOL, WIDTH
from stopwright.plan.run_sheet import Measured, Run, Spacer
from stopwright.plan.stations.cut_setups import CALLED, Lying, Pass, Places
from stopwright.plan.stations.long_work import LONG
from stopwright.plan.stations.part_sides import opposite, size_along
from stopwright.plan.timber.way import Way

BESIDE = {WIDTH.name: "between fence and piece", LENGTH.name: "between stop and piece"}
"""Where a strip or block is put in at the saw."""


def follow_pieces(way: Way, run: Run, _: Station) -> Worked:
    """Finished pieces are taken and given, or strips where it is done while they are long; their outer sizes stay."""
    return way.strips_or_pieces(run) if run.lot == LONG else way.worked_pieces(run)


def at_a_cut(run: Run) -> Mapping[str, Measured]:
    """What is measured for each stop: the near side of the cut for its place, the cut itself for its depth.

    The fence (or stop) stands the strip farther off than the cut is from the piece's own side.
    """
    places = {stop.sets: stop.target for stop in run.stops if isinstance(stop.target, int)}
    lying = next((pieces for pieces in run.pieces if pieces.down), None)
    if lying is None or lying.down is None:
        return {}
    strip = run.spacer.thickness * run.spacer.count if run.spacer else 0
    down = CALLED.get(lying.down, str(lying.down))
    found = {}
    for sets in (WIDTH.name, LENGTH.name):
        if sets in places:
            found[sets] = Measured(f"near side of the cut from the {lying.reference}", places[sets] - strip)
    if BLADE_HEIGHT.name in places:
        found[BLADE_HEIGHT.name] = Measured("depth of the cut", places[BLADE_HEIGHT.name])
    if SPINDLE_HEIGHT.name in places:
        near = places[SPINDLE_HEIGHT.name] - strip
        found[SPINDLE_HEIGHT.name] = Measured(f"near side of the cut from the {down}", near)
    if SPINDLE_FENCE.name in places:
        found[SPINDLE_FENCE.name] = Measured("depth of the cut", places[SPINDLE_FENCE.name])
    return found


def ends_of(ends: RailEnds) -> tuple[Side, ...]:
    """The ends that are meant.

    >>> [str(end) for end in ends_of(RailEnds.BOTH)]
    ['marked end', 'other end']
    """
    one = {RailEnds.MARKED: (Side.MARKED_END,), RailEnds.OTHER: (Side.OTHER_END,)}
    return one.get(ends, (Side.MARKED_END, Side.OTHER_END))


def with_blade(station: Station, places: Places) -> Places:
    """The places of a cut with the saw blade: where tools are changed at this station, the blade is in."""
    return ((TOOL.name, station.of(Blade).kerf), *places) if station.axis(TOOL.name) else places


CHEEK_AND_ALL = "the shoulder first, then pass by pass to the end, without a setting"


def shoulder(
    station: Station,
    shop: Shop,
    length: Nm,
    depth: Nm,
    lying: tuple[Side, Side],
    note: str = CHEEK_AND_ALL,
    turn: int = 0,
) -> Pass:
    """A shoulder at an end, at a stop on the waste side; the rest is cleared to the end without a setting.

    `lying` are the side down and the end. The stop stands at length − kerf, so it serves parts of every length.
    """
    stop, block = within_reach(station, length - station.of(Blade).kerf, shop)
    shim = Spacer(block, 1, BESIDE[LENGTH.name]) if block else None
    places = with_blade(station, ((LENGTH.name, stop), (BLADE_HEIGHT.name, depth)))
    return Pass(places, Lying(*lying, "stop"), shim, note, turn=turn)


def step_at_a_saw(sides: tuple[Side, Side], width: Nm, depth: Nm, part: Part, station: Station) -> Sequence[Pass] | str:
    """A step along an edge in two cuts of the saw that meet: flat first, then on edge with the other face to the fence.

    So the strip falls free; the other way round it would lie between blade and fence when it comes off. `sides` are
    the side that gets thinner and the edge, the step is `width` wide from this and `depth` deep from that.
    """
    side, edge = sides
    if not (station.axis(WIDTH.name) and station.axis(BLADE_HEIGHT.name)):
        return f"the {station.name} lacks a fence or a blade height to set; add the axes that set them"
    if min(width, depth) < station.of(Blade).kerf:
        return f"it is smaller than the kerf of the {station.name}; give it to a spindle"
    first: Places = ((WIDTH.name, width - station.of(Blade).kerf), (BLADE_HEIGHT.name, depth))
    second: Places = ((WIDTH.name, size_along(part, side) - depth), (BLADE_HEIGHT.name, width))
    note = "the strip falls on the free side of the blade"
    return (
        Pass(with_blade(station, first), Lying(side, edge, "fence"), note="no strip comes off yet"),
        Pass(with_blade(station, second), Lying(edge, opposite(side), "fence"), note=note, turn=1),
    )


def noted(one: Pass, note: str) -> Pass:
    """The same pass with more to know of it."""
    return replace(one, note="; ".join(filter(None, (note, one.note))))


def within_reach(station: Station, place: Nm, shop: Shop) -> tuple[Nm, Nm]:
    """Where the crosscut stop is set, and how thick a block lies before the piece, where it does not reach so near.

    >>> from stopwright.model.stations import Axis
    >>> saw = Station("saw", ("tenon",), (Axis("flip stops", "length", low=20 * MM),))
    >>> shop = Shop("Ours", (saw,))
    >>> [one // MM for one in within_reach(saw, 12 * MM, shop)], within_reach(saw, 30 * MM, shop)[1]
    ([22, 10], 0)
    """
    axis = station.axis(LENGTH.name)
    short = axis.low - axis.zero - place if axis else 0
    round_one = INCH // 2 if shop.lengths == "in" else 10 * MM
    block = -(-short // round_one) * round_one if short > 0 else 0
    return place + block, block


def beyond(part: Part, walls: Mapping[Side, Nm], shop: Shop) -> Iterator[str]:
    """A sentence for each side from which a cut reaches farther than the part goes."""
    for side, reach in walls.items():
        if reach > size_along(part, side):
            far, whole = (format_length(one, shop.show) for one in (reach, size_along(part, side)))
            yield f"it reaches {far} from the {side}, where the part is {whole}; measure it again"
