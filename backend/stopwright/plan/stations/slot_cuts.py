"""Grooves, housings, rebates: which stops a slot needs at a saw or a spindle, and in how many passes it is cut.

A slot has its near wall at `near` from the reference side, is `width` wide and `depth` deep. On the saw its place is
set by rip fence or stop and its depth by the blade; on the spindle the place is the height and the depth the fence
(geometry; a saw and a spindle swap the roles). A tool narrower than the slot is set for the far pass, at near + width
− tool, and the near pass is cut with a shim of width − tool: one setting instead of two, and the width depends on the
shim alone. Passes between the two only clear the waste.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from stopwright.lengths import MM, Nm, format_length
from stopwright.model.gear import Blade, GroovingTools
from stopwright.model.joints import ENDS, Side
from stopwright.model.parts import Part
from stopwright.model.stations import Axis, Shop, Station
from stopwright.plan.operations.roles import BLADE_HEIGHT, CUTTER, LENGTH, SPINDLE_FENCE, SPINDLE_HEIGHT, TOOL, WIDTH
from stopwright.plan.run_sheet import Spacer
from stopwright.plan.stations.cut_helpers import BESIDE, within_reach
from stopwright.plan.stations.cut_setups import CALLED, Lying, MayUse, Pass, Places
from stopwright.plan.stations.part_sides import opposite

OVERLAP: Nm = MM // 2
"""How much a pass overlaps the one beside it at least, where the slot is cleared (common practice)."""

UNDER = "under the piece"


@dataclass(frozen=True, slots=True)
class Slot:
    """One slot as it is cut: the `side` that is cut into, the side that `near` is measured from; nm."""

    part: Part
    side: Side
    reference: Side
    near: Nm
    width: Nm
    depth: Nm

    @property
    def is_across(self) -> bool:
        """Whether it runs across the piece, its place measured from an end."""
        return self.reference in ENDS


@dataclass(frozen=True, slots=True)
class _Machine:
    """The axes by which a station cuts slots: its place, its depth, the tool if one is put in."""

    place: Axis
    depth: Axis
    tool: Axis | None
    is_saw: bool


def machine_for(station: Station, is_across: bool) -> _Machine | None:
    """How the station cuts slots along or across a piece, None where it has no stops for it."""
    tool = station.axis(TOOL.name)
    place, depth = station.axis(LENGTH.name if is_across else WIDTH.name), station.axis(BLADE_HEIGHT.name)
    if place and depth:
        return _Machine(place, depth, tool, is_saw=True)
    place, depth = station.axis(SPINDLE_HEIGHT.name), station.axis(SPINDLE_FENCE.name)
    if place and depth and not is_across:
        return _Machine(place, depth, station.axis(CUTTER.name) or tool, is_saw=False)
    return None


def tool_for(station: Station, width: Nm, is_saw: bool) -> Nm | None:
    """The widest tool on hand that is not wider than that, nm; the blade counts as one at a saw. None without."""
    tools = {*station.of(GroovingTools).tools, *({station.of(Blade).kerf} if is_saw and station.of(Blade).kerf else ())}
    return max((tool for tool in tools if tool <= width), default=None)


def slot_passes(slot: Slot, shop: Shop, station: Station, may_use: MayUse) -> Sequence[Pass] | str:
    """The cuts of a slot at a station, or why it cannot make it, with what to do."""
    machine = machine_for(station, slot.is_across)
    if machine is None:
        needed = "a stop for the length and a blade height" if slot.is_across else "a fence and a blade height"
        return f"the {station.name} lacks {needed} to set; add the axes that set them, or give it to another station"
    tool = tool_for(station, slot.width, machine.is_saw)
    if tool is None:
        width = format_length(slot.width, shop.show)
        return f"the {station.name} has no tool as narrow as {width}; write what is on hand in tools, or widen the slot"
    lying, shift = _lying(slot, machine), slot.width - tool
    if slot.is_across and shift and (slot.near == 0 or slot.near + slot.width == slot.part.length):
        return _open_at_an_end(slot, machine, tool, station, shop, lying)
    place, block = within_reach(station, slot.near + shift, shop) if slot.is_across else (slot.near + shift, 0)
    far = _places(machine, tool, place, slot.depth, shop)
    beside = BESIDE[machine.place.sets] if machine.is_saw else UNDER
    first = Spacer(block, 1, beside) if block else None
    if not shift:
        return (Pass(far, lying, first, tool=tool),)
    between = max(-(-(slot.width - OVERLAP) // (tool - OVERLAP)) - 2, 0) if tool > OVERLAP else 0
    more = "1 more pass" if between == 1 else f"{between} more passes"
    note = f"{more} between the two to clear it, without a setting" if between else ""
    near_place: Places = ((machine.place.sets, place - shift),)
    if may_use(block + shift):
        second = Pass(far, lying, Spacer(block + shift, 1, beside, machine.place.sets), instead=near_place, tool=tool)
        return (Pass(far, lying, first, note, tool=tool), second)
    near = _places(machine, tool, place - shift, slot.depth, shop)
    return (Pass(far, lying, first, note, tool=tool), Pass(near, lying, first, tool=tool))


def _open_at_an_end(
    slot: Slot, machine: _Machine, tool: Nm, station: Station, shop: Shop, lying: Lying
) -> Sequence[Pass]:
    """A slot with one wall: that at its stop, the rest cleared to the end without a setting."""
    at_the_stop = slot.near == 0
    place, block = within_reach(station, slot.width - tool if at_the_stop else slot.near, shop)
    shim = Spacer(block, 1, BESIDE[machine.place.sets]) if block else None
    note = f"the shoulder first, then pass by pass to the {'' if at_the_stop else 'other '}end, without a setting"
    return (Pass(_places(machine, tool, place, slot.depth, shop), lying, shim, note, tool=tool),)


def step_at_a_spindle(slot: Slot, tool: Nm, shop: Shop, station: Station) -> Pass | str:
    """A slot with one wall, open at the side that lies down or at the one above: the wall by the height of the tool.

    What is left beyond the tool is cleared to the open side without a setting. The height is that of the tool's lower
    edge, as for every slot.
    """
    machine = machine_for(station, is_across=False)
    if machine is None or machine.is_saw:
        return f"the {station.name} has no spindle height and spindle fence to set; add the axes that set them"
    below = slot.near == 0
    height = slot.width - tool if below else slot.near
    cleared = opposite(slot.reference) if not below else slot.reference
    called = CALLED.get(cleared, str(cleared))
    note = f"then pass by pass to the {called}, without a setting" if tool < slot.width else ""
    return Pass(_places(machine, tool, height, slot.depth, shop), _lying(slot, machine), note=note, tool=tool)


def _places(machine: _Machine, tool: Nm, near: Nm, depth: Nm, shop: Shop) -> Places:
    put_in: Places = ()
    if machine.tool:
        named = machine.tool.sets == CUTTER.name
        put_in = ((machine.tool.sets, f"groover {format_length(tool, shop.show)}" if named else tool),)
    return (*put_in, (machine.place.sets, near), (machine.depth.sets, depth))


def _lying(slot: Slot, machine: _Machine) -> Lying:
    """At the saw the slotted side is down; at the spindle it faces the fence and the reference side is down."""
    if machine.is_saw:
        return Lying(slot.side, slot.reference, "stop" if slot.is_across else "fence")
    return Lying(slot.reference, slot.side, "fence")
