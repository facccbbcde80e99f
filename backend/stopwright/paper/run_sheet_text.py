"""The run sheet as plain text for a terminal or a text file."""

from collections.abc import Iterator
from textwrap import wrap

from stopwright.lengths import Show, format_length
from stopwright.paper.day_text import day_lines, done_text, falls_of, outlook_text
from stopwright.paper.wording import (
    becomes_text,
    block_text,
    cautions_by_run,
    change_leaves,
    change_steps,
    change_text,
    changeover_cautions,
    hardware_text,
    line_text,
    lying_text,
    machine_text,
    minutes_text,
    off_by_text,
    panel_text,
    piece_count,
    proof_text,
    reading_text,
    size_text,
    spacer_text,
    wood_count,
)
from stopwright.plan.run_sheet import Move, Remark, Run, RunSheet, TenonStock, Wood
from stopwright.plan.said_lengths import read_out

WIDTH = 96


def run_sheet_text(sheet: RunSheet, show: Show = Show.MM) -> str:
    """The whole run sheet in readable columns, faults before everything that could be cut.

    The first line names the job and says how many settings are made, the least possible, and whether it is proven.
    """
    sections = [
        _heading(sheet),
        _remarks("FAULTS: fix these before cutting", sheet.faults),
        _runs(sheet, show),
        _day(sheet, show),
        _wood(sheet.wood, show),
        _tenons(sheet.tenons, show),
        _list("Besides wood", [hardware_text(need) for need in sheet.hardware]),
        _list("Panels in grooves", [panel_text(panel, show) for panel in sheet.panels]),
        _list("Blocks to make", [block_text(block, show) for block in sheet.spacers]),
        _cautions(sheet),
        _remarks("Look at", sheet.warnings),
        _list("Notes", sheet.notes),
    ]
    return "\n\n".join("\n".join(lines) for lines in map(list, sections) if lines) + "\n"


def _heading(sheet: RunSheet) -> Iterator[str]:
    yield f"{sheet.job}: {proof_text(sheet.settings)}"
    whole = sum(run.minutes for run in sheet.runs)
    in_all = f", about {minutes_text(whole)} in all" if whole > sheet.settings.minutes else ""
    yield f"{minutes_text(sheet.settings.minutes)} of setting{in_all}"
    yield from map(machine_text, sheet.machines)
    if sheet.day:
        yield f"The day: {done_text(sheet.day)}"


def _runs(sheet: RunSheet, show: Show) -> Iterator[str]:
    stops = [(stop.axis, reading_text(stop, show)) for run in sheet.runs for stop in run.stops]
    axis_width = max((len(axis) for axis, _ in stops), default=0)
    reading_width = max((len(reading) for _, reading in stops), default=0)
    mark_width = max((len(pieces.mark) for run in sheet.runs for pieces in run.pieces), default=0)
    falls = falls_of(sheet)
    for run in sheet.runs:
        if run.number != sheet.runs[0].number:
            yield ""
        yield from _run(run, show, axis_width, reading_width, mark_width, falls.get(run.id, ""))


def _run(run: Run, show: Show, axis_width: int, reading_width: int, mark_width: int, falls: str = "") -> Iterator[str]:
    note = f"   {read_out(run.note, show)}" if run.note else ""
    falls = f"   {falls}" if falls else ""
    if run.change:
        yield f"  >  {change_text(run.change)}"
        for head, words in (*change_steps(run.change), *change_leaves(run.change, show)):
            yield from wrap(f"{head}: {words}", WIDTH, initial_indent="     ", subsequent_indent="         ")
        yield ""
    yield f"{run.number:3}  {run.station}, {run.work}{falls}{note}"
    for stop in run.stops:
        reading = reading_text(stop, show)
        asked = "SET   " if stop.move is Move.SET else "stands"
        yield f"     {asked}  {stop.axis:<{axis_width}}  {reading:>{reading_width}}  {off_by_text(stop, show)}".rstrip()
    if run.spacer:
        yield f"     with    {spacer_text(run.spacer, show)}"
    for line in run.lines:
        yield f"     {line.count:>6}  {line_text(line)}   {becomes_text(line.becomes)}"
    for pieces in () if run.lines else run.pieces:
        said = "; ".join(filter(None, (lying_text(pieces), pieces.note)))
        yield f"     {pieces.count:>6}  {pieces.mark:<{mark_width}}  {pieces.name}" + (f"   {said}" if said else "")


def _day(sheet: RunSheet, show: Show) -> Iterator[str]:
    if sheet.day is None:
        return
    yield "The day"
    lines = day_lines(sheet, show)
    wide = max((len(one.when) for one in lines), default=0)
    for one in lines:
        said = f"{one.what}; {one.said}" if one.said else one.what
        yield from wrap(
            f"{one.when:<{wide}}  {said}", WIDTH, initial_indent="     ", subsequent_indent=" " * (wide + 7)
        )
    for outlook in sheet.day.outlooks if sheet.day.other else ():
        mark = "this sheet" if outlook.name is sheet.day.chosen else "to choose"
        yield from wrap(f"{mark}: {outlook_text(outlook)}", WIDTH, initial_indent="   - ", subsequent_indent="     ")


def _wood(wood: Wood, show: Show) -> Iterator[str]:
    if not wood.layouts and not wood.to_buy:
        return
    yield "Wood"
    if wood.boards_used:
        known = " (proven)" if wood.proven else ", as far as is known"
        least = f"{wood.least_possible} is the least possible with one width in each strip{known}"
        yield f"     {wood_count(wood.boards_used)} used; {least}"
    for layout in wood.layouts:
        counts: dict[str, int] = {}
        for placement in layout.placements:
            counts[placement.mark] = counts.get(placement.mark, 0) + 1
        size = size_text((layout.length, layout.width, layout.thickness), show)
        size = f"{layout.lot}, {f'{layout.material} {size}'.strip()}"
        held = ", ".join(f"{count} {mark}" for mark, count in counts.items())
        yield f"     {size}: {held}{' each' if layout.times > 1 else ''}"
        for offcut in layout.offcuts:
            clean = f", {size_text(offcut.clean, show)} of it without a flaw" if offcut.zones else ""
            yield f"         leaves {size_text((offcut.length, offcut.width), show)}{clean}"
    for blank in wood.to_buy:
        size = size_text((blank.length, blank.width, blank.thickness), show)
        each = f", {blank.pieces} pieces in each" if blank.pieces > 1 else ""
        yield f"     to buy: {blank.count} × {f'{blank.material} {size}'.strip()} for {blank.mark}{each}"


def _tenons(tenons: tuple[TenonStock, ...], show: Show) -> Iterator[str]:
    if not tenons:
        return
    yield "Loose tenons (thickness × width × length)"
    for tenon in tenons:
        size = size_text((tenon.thickness, tenon.width, tenon.length), show)
        rounding, strip = format_length(tenon.radius, show), format_length(tenon.strip, show)
        yield f"     {tenon.joint}: {size}, edges rounded {rounding}"
        yield f"         {piece_count(tenon.count + tenon.spares)}, {tenon.spares} of them spare, from {strip} of strip"


def _cautions(sheet: RunSheet) -> Iterator[str]:
    cautions = cautions_by_run(sheet.runs)
    cautions += [("at every changeover", text) for text in changeover_cautions(sheet)]
    if cautions:
        yield "Take care"
    for belongs, caution in cautions:
        yield from wrap(f"{caution} ({belongs})", WIDTH, initial_indent="     ", subsequent_indent="     ")


def _remarks(title: str, remarks: tuple[Remark, ...]) -> Iterator[str]:
    yield from _list(title, [f"{remark.about}: {remark.text}" if remark.about else remark.text for remark in remarks])


def _list(title: str, sentences: tuple[str, ...] | list[str]) -> Iterator[str]:
    if sentences:
        yield title
    for sentence in sentences:
        yield from wrap(sentence, WIDTH, initial_indent="   - ", subsequent_indent="     ")
