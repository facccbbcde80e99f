"""A slot as it is cut, in section: table, fence or stop, tool, the piece as it lies and what is taken from it."""

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.plan.canvas import WIDE, Canvas
from stopwright.plan.operations.roles import BLADE_HEIGHT, LENGTH, SPINDLE_FENCE, SPINDLE_HEIGHT, TOOL, WIDTH
from stopwright.plan.run_sheet import Move, Run, Stop
from stopwright.plan.stations.cut_setups import CALLED
from stopwright.plan.stations.part_sides import size_along

_TABLE, _HIGH, _LONG = 92.0, 66.0, 210.0
_SIDES = {CALLED.get(side, str(side)): side for side in Side}


def draw_slot(canvas: Canvas, run: Run, job: Job) -> None:
    """Seen along the cut: at the saw the blade from below and the fence at the right, or the stop at the left; at the
    spindle the tool out of the fence at the left. The piece to proportion, one that is long broken off.
    """
    by_role = {stop.sets: stop for stop in run.stops}
    pieces = next((one for one in run.pieces if one.down), None)
    if pieces is None or pieces.down is None:
        return
    part = job.part(pieces.mark)
    reference = _SIDES[pieces.reference]
    canvas.tall = 126
    shim = run.spacer.thickness * run.spacer.count if run.spacer else 0
    tool = by_role.get(TOOL.name)
    tool_width = tool.target if tool and isinstance(tool.target, int) else 0
    if BLADE_HEIGHT.name in by_role:
        place = by_role.get(LENGTH.name) or by_role.get(WIDTH.name)
        if place:
            sizes = (size_along(part, reference), size_along(part, pieces.down))
            _at_the_saw(canvas, place, by_role[BLADE_HEIGHT.name], sizes, shim, tool_width)
    elif SPINDLE_HEIGHT.name in by_role and SPINDLE_FENCE.name in by_role:
        sizes = (size_along(part, reference), size_along(part, pieces.down))
        _at_the_spindle(canvas, by_role[SPINDLE_HEIGHT.name], by_role[SPINDLE_FENCE.name], sizes, shim)
    canvas.label += f"; {CALLED.get(pieces.down, str(pieces.down))} down, {pieces.reference} at the {pieces.at}"
    canvas.words(f"{CALLED.get(pieces.down, str(pieces.down))} down", WIDE / 2, 12)


def _at_the_saw(canvas: Canvas, place: Stop, height: Stop, sizes: tuple[Nm, Nm], shim: Nm, tool: Nm) -> None:
    at = place.target if isinstance(place.target, int) else 0
    up = height.target if isinstance(height.target, int) else 0
    wide, thick = sizes
    shown = min(wide, 3 * (at + tool) + thick)
    scale = min(_HIGH / max(thick, up), _LONG / max(shown + shim, 1))
    inward = 1 if place.sets == LENGTH.name else -1
    stop = 62.0 if inward > 0 else WIDE - 62.0
    near = stop + inward * shim * scale
    far = near + inward * shown * scale
    left, right = min(near, far), max(near, far)
    canvas.box("table", 8, _TABLE, 344, 8)
    canvas.wood(left, _TABLE - thick * scale, right - left, thick * scale)
    blade = stop + inward * at * scale
    broad = max(tool * scale, 5)
    canvas.box("slot", min(blade, blade + inward * broad), _TABLE - up * scale, broad, up * scale)
    canvas.line("blade", blade, _TABLE - up * scale, blade, _TABLE + 8)
    if shim:
        canvas.box("spacer", min(stop, near), _TABLE - 26, abs(near - stop), 26)
    moving = "stop" if place.move is Move.SET else "stop stands"
    canvas.box(moving, stop - (13 if inward > 0 else 0), _TABLE - 58, 13, 58)
    canvas.across(min(stop, blade), max(stop, blade), _TABLE + 15, place.reads, place.axis)
    canvas.upright(blade + inward * (broad + 12), _TABLE - up * scale, _TABLE)
    canvas.length_inside(height.reads, blade + inward * (broad + 44), _TABLE - up * scale / 2 + 5, height.axis)
    canvas.label = "In section along the cut: " + ("stop at the left" if inward > 0 else "fence at the right")
    canvas.label += ", the blade from below"


def _at_the_spindle(canvas: Canvas, height: Stop, fence: Stop, sizes: tuple[Nm, Nm], shim: Nm) -> None:
    low = height.target if isinstance(height.target, int) else 0
    deep = fence.target if isinstance(fence.target, int) else 0
    into, tall = sizes
    scale = min(_HIGH / max(tall + shim, low), 150 / max(into, 1))
    front = 110.0
    floor = _TABLE - shim * scale
    canvas.box("table", 8, _TABLE, 344, 8)
    canvas.box("fence", front - 14, _TABLE - 70, 14, 70)
    canvas.wood(front, floor - tall * scale, into * scale, tall * scale)
    level = _TABLE - low * scale
    canvas.box("slot", front - 14, level - 8, 14 + max(deep * scale, 4), 8)
    canvas.box("knives", front - 60, level - 8, 46, 8)
    if shim:
        canvas.box("spacer", front, floor, into * scale, shim * scale)
    canvas.upright(front - 34, level, _TABLE)
    canvas.length_inside(height.reads, front - 62, _TABLE + 24, height.axis)
    canvas.across(front, front + max(deep * scale, 4), _TABLE + 15, fence.reads, fence.axis)
    canvas.label = "In section along the cut: the fence at the left, the tool out of it over the table"
