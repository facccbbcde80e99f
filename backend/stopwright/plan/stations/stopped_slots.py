"""Slots that stop before an end, cut at a spindle: the run-out of a round tool, front stop and back stop."""

from collections.abc import Sequence
from math import isqrt

from stopwright.lengths import Nm, format_length
from stopwright.model.gear import GroovingTools
from stopwright.model.joints import Side
from stopwright.model.stations import Shop, Station
from stopwright.plan.operations.roles import BACK_STOP, BLADE_HEIGHT, FRONT_STOP
from stopwright.plan.stations.cut_setups import Pass, Places
from stopwright.plan.stations.part_sides import leading_end
from stopwright.plan.stations.slot_cuts import Slot


def run_out(radius: Nm, depth: Nm) -> Nm:
    """How far a round tool cuts beyond its full depth at a stopped end: √(t(2R − t)), nm.

    >>> from stopwright.lengths import MM
    >>> run_out(125 * MM // 2, 8 * MM) / MM, run_out(125 * MM, 6 * MM) / MM
    (30.594117, 38.262252)
    """
    return isqrt(depth * (2 * radius - depth))


def stopped_passes(
    slot: Slot, found: Sequence[Pass], along: tuple[Nm | None, Nm | None], station: Station, shop: Shop
) -> Sequence[Pass] | str:
    """The passes of a slot with front and back stop, measured from the axis of the tool, for each hand of the piece.

    `along` is from where to where it runs, from the marked end, None where it runs out; nm. The feed begins with the
    leading end at A + r past the axis and stops at B − r, seen from that end. A sentence where it cannot be done.
    """
    if station.axis(BLADE_HEIGHT.name):
        return f"a stopped groove is not cut on a circular saw, as the {station.name} is; give it to a spindle"
    front, back = station.axis(FRONT_STOP.name), station.axis(BACK_STOP.name)
    if front is None or back is None or not station.of(GroovingTools).tool_radius:
        return f"the {station.name} has no front stop, back stop and tool radius; add them, a stopped groove needs them"
    r, length = run_out(station.of(GroovingTools).tool_radius, slot.depth), slot.part.length
    stopped = []
    for one in found:
        for mirrored in (False, True):
            leads = leading_end(slot.side, one.lying.down, mirrored)
            start, end = along[0] or 0, length if along[1] is None else along[1]
            if leads is Side.OTHER_END:
                start, end = length - end, length - start
            begins, ends = start + r if start else 0, end - r if end < length else length
            if ends < begins:
                least = format_length(2 * r, shop.show)
                return f"it is shorter than the run-out of the tool at both ends, {least}; make it longer"
            stops: Places = ((BACK_STOP.name, length - begins),) if start else ()
            stops += ((FRONT_STOP.name, ends),) if end < length else ()
            note = f"{leads} first; stops from the axis of the tool"
            stopped.append(Pass((*one.places, *stops), one.lying, one.shim, note, mirrored, instead=one.instead))
    return stopped
