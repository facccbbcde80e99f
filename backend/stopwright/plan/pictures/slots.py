"""A slot as it is cut, in section and to scale: table, fence or stop, tool, the piece as it lies, what is taken off."""

from collections.abc import Callable
from dataclasses import dataclass

from stopwright.lengths import Nm, SignedNm
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.plan.operations.roles import BLADE_HEIGHT, LENGTH, SPINDLE_FENCE, SPINDLE_HEIGHT, WIDTH
from stopwright.plan.pictures.canvas import WIDE, Canvas, Point, outline
from stopwright.plan.pictures.section import BELOW, TABLE, height_over_table, the_table
from stopwright.plan.run_sheet import Move, Run, Stop
from stopwright.plan.stations.cut_before import CutBefore, InPiece, far_from
from stopwright.plan.stations.cut_setups import CALLED
from stopwright.plan.stations.part_sides import axis_of

_HIGH, _LONG = 66.0, 210.0
_SIDES = {CALLED.get(side, str(side)): side for side in Side}


@dataclass(frozen=True, slots=True)
class _Section:
    """The piece where it is cut: how far it goes from its reference and from the side that is down, nm.

    `cut` are the corners of all that its cuts take away there, by both distances. The tool cuts `tool` wide, a strip
    of `shim` lies between; two tools leave `ring` between them.
    """

    wide: Nm
    high: Nm
    cut: tuple[tuple[tuple[SignedNm, SignedNm], ...], ...]
    tool: Nm
    shim: Nm
    ring: Nm


def draw_slot(canvas: Canvas, run: Run, job: Job) -> None:
    """Seen along the cut: at the saw the blade from below and the fence at the right, or the stop at the left; at the
    spindle the tool out of the fence at the left. What the tool takes at this setting stands in what the cut takes in
    all; a piece that is long is broken off.
    """
    by_role = {stop.sets: stop for stop in run.stops}
    pieces = next((one for one in run.pieces if one.down), None)
    piece = CutBefore((run,), job).at(run, pieces) if pieces else None
    if pieces is None or pieces.down is None or piece is None:
        return
    section = _section(piece, _SIDES[pieces.reference], pieces.down, run)
    if BLADE_HEIGHT.name in by_role:
        place = by_role.get(LENGTH.name) or by_role.get(WIDTH.name)
        if place:
            _at_the_saw(canvas, place, by_role[BLADE_HEIGHT.name], section)
    elif SPINDLE_HEIGHT.name in by_role and SPINDLE_FENCE.name in by_role:
        _at_the_spindle(canvas, by_role[SPINDLE_HEIGHT.name], by_role[SPINDLE_FENCE.name], section)
    down = f"{CALLED.get(pieces.down, str(pieces.down))} down"
    canvas.label += f"; {down}, {pieces.reference} at the {pieces.at}"
    at_right = pieces.at == "fence" and BLADE_HEIGHT.name in by_role
    canvas.words(down, *((6, BELOW, "start") if at_right else (WIDE - 6, BELOW, "end")))


def _section(piece: InPiece, reference: Side, down: Side, run: Run) -> _Section:
    """In the middle of what is as deep as the tool goes; what does not reach that far along is not seen."""
    along = ({0, 1, 2} - {axis_of(reference), axis_of(down)}).pop()
    deep = next((stop.target for stop in run.stops if stop.sets in (BLADE_HEIGHT.name, SPINDLE_FENCE.name)), 0)
    into = down if any(stop.sets == BLADE_HEIGHT.name for stop in run.stops) else reference
    as_deep = [solid for solid in piece.now if far_from(into, solid, piece.body)[1] == deep]
    spans = [solid.spans[along] for solid in piece.now]
    low, high = next((solid.spans[along] for solid in as_deep), spans[0] if spans else (0, 0))
    middle = (low + high) // 2
    there = [solid for solid, (low, high) in zip(piece.now, spans, strict=True) if low <= middle <= high]

    boxes = ((far_from(reference, solid, piece.body), far_from(down, solid, piece.body)) for solid in there)
    return _Section(
        piece.body[axis_of(reference)],
        piece.body[axis_of(down)],
        tuple(tuple((one, two) for one in across for two in up) for across, up in boxes),
        run.tool,
        run.spacer.thickness * run.spacer.count if run.spacer else 0,
        run.ring,
    )


def _cut_out(canvas: Canvas, section: _Section, shown: tuple[Nm, Nm], at: Callable[[Nm, Nm], Point]) -> None:
    """All that the cuts take away here, as far as the piece is shown across and up."""
    for corners in section.cut:
        seen = [(min(max(across, 0), shown[0]), min(max(up, 0), shown[1])) for across, up in corners]
        if len({across for across, _ in seen}) > 1:
            canvas.path("slot", outline(at(across, up) for across, up in seen))


@dataclass(frozen=True, slots=True)
class _Broken:
    """A piece that is long, with what lies between its reference and the tool left out beyond `kept`; nm."""

    kept: Nm
    out: Nm

    def __call__(self, across: Nm) -> Nm:
        return across if across <= self.kept else max(across - self.out, self.kept)


def _at_the_saw(canvas: Canvas, place: Stop, height: Stop, section: _Section) -> None:
    at = place.target if isinstance(place.target, int) else 0
    up = height.target if isinstance(height.target, int) else 0
    tall = min(section.high, max(2 * up, section.wide))
    shown = min(section.wide, at + section.tool + max(tall, at // 4))
    broken = _Broken(tall, max(at - section.shim - 3 * tall, 0))
    scale = min(_HIGH / max(tall, up), _LONG / max(broken(shown) + section.shim, 1))
    inward = 1 if place.sets == LENGTH.name else -1
    stop = 62.0 if inward > 0 else WIDE - 62.0
    near = stop + inward * section.shim * scale

    def there(across: Nm) -> float:
        return near + inward * broken(across) * scale

    far, top = there(shown), TABLE - tall * scale
    the_table(canvas)
    canvas.wood(min(near, far), top, abs(far - near), TABLE - top)
    _cut_out(canvas, section, (shown, tall), lambda across, high: (there(across), TABLE - high * scale))
    blade = there(at - section.shim)
    broad = max(section.tool * scale, 1)
    canvas.box("slot now", min(blade, blade + inward * broad), TABLE - up * scale, broad, up * scale + 8)
    if broken.out:
        x = there(broken.kept)
        canvas.path("break", f"M{x - 4:.1f} {top - 3:.1f}l8 {(TABLE - top) / 3:.1f}l-8 4l8 {(TABLE - top) / 2:.1f}")
    if section.shim:
        canvas.box("spacer", min(stop, near), TABLE - 26, abs(near - stop), 26)
    moving = "stop" if place.move is Move.SET else "stop stands"
    canvas.box(moving, stop - (13 if inward > 0 else 0), TABLE - 58, 13, 58)
    canvas.across(min(stop, blade), max(stop, blade), TABLE + 15, place.reads, place.axis)
    outside = inward * max(inward * far, inward * blade + broad) + inward * 14
    height_over_table(canvas, height, (blade + inward * broad, outside), TABLE - up * scale)
    canvas.label = "In section along the cut, to scale: " + ("stop at the left" if inward > 0 else "fence at the right")
    canvas.label += ", the blade from below"


def _at_the_spindle(canvas: Canvas, height: Stop, fence: Stop, section: _Section) -> None:
    """A cutter whose width is not known is drawn as wide as what it cuts: down from its height at a rebate, else up.

    Of two discs the ring lies on the height, one disc below it and as far as it goes under the table, one above.
    """
    low = height.target if isinstance(height.target, int) else 0
    deep = fence.target if isinstance(fence.target, int) else 0
    tools = _tools(section, low)
    top = max(end for _, end in tools)
    shown = 2 * deep if section.ring else 6 * max(deep, section.tool)
    wide = min(section.wide, shown + section.high)
    tall = min(section.high, max(3 * top, wide))
    scale = min(_HIGH / max(tall + section.shim, top), 150 / max(wide, 1))
    front, floor = 110.0, TABLE - section.shim * scale
    the_table(canvas)
    canvas.box("fence", front - 14, TABLE - 70, 14, 70)
    canvas.wood(front, floor - tall * scale, wide * scale, tall * scale)
    _cut_out(canvas, section, (wide, tall), lambda across, up: (front + across * scale, floor - up * scale))
    for start, end in tools:
        above, below = TABLE - end * scale, TABLE - start * scale
        canvas.box("slot now", front - 14, above, 14 + max(deep * scale, 1), max(below - above, 1))
        canvas.box("knives", front - 60, above, 46, max(below - above, 1))
    if section.ring:
        canvas.box("spacer", front - 52, TABLE - (low + section.ring) * scale, 30, section.ring * scale)
    if section.shim:
        canvas.box("spacer", front, floor, wide * scale, section.shim * scale)
    height_over_table(canvas, height, (front - 60, front - 74), TABLE - low * scale)
    canvas.across(front, front + max(deep * scale, 4), TABLE + 15, fence.reads, fence.axis)
    canvas.label = "In section along the cut, to scale: the fence at the left, "
    canvas.label += f"{'two discs with a ring between' if section.ring else 'the tool'} out of it over the table"


def _tools(section: _Section, low: Nm) -> list[tuple[SignedNm, SignedNm]]:
    """From where to where the tool cuts above the table, or each of two discs; nm."""
    if section.ring:
        upper = low + section.ring
        return [(max(low - section.tool, 0), low), (upper, upper + section.tool)]
    if section.tool:
        return [(low, low + section.tool)]
    heights = [[up + section.shim for _, up in corners] for corners in section.cut]
    return [next(((min(ups), max(ups)) for ups in heights if min(ups) <= low <= max(ups)), (0, low))]
