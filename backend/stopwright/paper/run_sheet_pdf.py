"""The run sheet on paper: boxes to tick at the machine, layouts to scale; black and white, A4 or Letter."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from stopwright.lengths import Show, format_length
from stopwright.paper.day_text import day_lines, done_text, falls_of, outlook_text
from stopwright.paper.drawing import Item, Words, moved, rectangle
from stopwright.paper.marks import BOX, tick_box
from stopwright.paper.page_flow import Block, document_pdf, heading, text_area, text_block
from stopwright.paper.pdf import A4
from stopwright.paper.run_blocks import NO_PICTURES, run_blocks
from stopwright.paper.typeface import shortened, wrapped
from stopwright.paper.wood_blocks import wood_blocks
from stopwright.paper.wording import (
    block_text,
    hardware_text,
    machine_text,
    minutes_text,
    panel_text,
    proof_text,
    size_text,
)
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Remark, RunSheet, TenonStock


def run_sheet_pdf(
    sheet: RunSheet,
    show: Show = Show.MM,
    page: tuple[float, float] = A4,
    pictures: Mapping[int, Sequence[Canvas]] = NO_PICTURES,
) -> bytes:
    """The whole run sheet as a PDF, faults before everything that could be cut; `page` is A4 or LETTER, mm.

    `pictures` are drawn at the runs of these numbers.
    """
    width, _ = text_area(page)
    blocks = [
        title_block(sheet, width),
        *faults_block(sheet, width),
        *_section("Runs", run_blocks(sheet.runs, width, show, falls_of(sheet), pictures), width),
        *_section("The day", _day(sheet, width, show), width),
        *_section("Wood", wood_blocks(sheet.wood, width, show), width),
        *_section("Loose tenons", (_tenon(tenon, width, show) for tenon in sheet.tenons), width),
        *_section("Besides wood", (_ticked(hardware_text(need), width) for need in sheet.hardware), width),
        *_section("Panels in grooves", (text_block(panel_text(panel, show), width) for panel in sheet.panels), width),
        *_section("Blocks to make", blocks_to_make(sheet, width, show), width),
        *_section("Look at", (_remark(remark, width) for remark in sheet.warnings), width),
        *_section("Notes", (text_block(note, width) for note in sheet.notes), width),
    ]
    return document_pdf(blocks, page, sheet.job)


def title_block(sheet: RunSheet, width: float) -> Block:
    """The job's name, how many settings there are and what that takes."""
    in_all = sum(run.minutes for run in sheet.runs)
    times = f"{minutes_text(sheet.settings.minutes)} of setting"
    if in_all > sheet.settings.minutes:
        times += f", about {minutes_text(in_all)} in all"
    if sheet.day:
        times += f"; {done_text(sheet.day)}"
    under = [
        *wrapped(times, width, 3.3),
        *(one for machine in sheet.machines for one in wrapped(machine_text(machine), width, 3.3)),
    ]
    return Block(
        24.0 + 4.6 * (len(under) - 1),
        (
            Words(0, 8, shortened(sheet.job, width, 8.4, True), 8.4, True),
            Words(0, 15, shortened(proof_text(sheet.settings), width, 4.2), 4.2),
            *(Words(0, 20.4 + 4.6 * n, one, 3.3, shade=0.25) for n, one in enumerate(under)),
        ),
    )


def _day(sheet: RunSheet, width: float, show: Show) -> Iterator[Block]:
    """Runs and glue-ups as they fall, each glue-up with what goes on while it sets; the other order to choose."""
    for one in day_lines(sheet, show):
        said = f"{one.what}; {one.said}" if one.said else one.what
        yield text_block(f"{one.when}   {said}", width)
    if sheet.day and sheet.day.other:
        yield text_block(f"Another order to choose, {outlook_text(sheet.day.other)}", width)


def _section(title: str, blocks: Iterable[Block], width: float) -> list[Block]:
    held = list(blocks)
    return [heading(title, width), *held] if held else []


def faults_block(sheet: RunSheet, width: float) -> Iterator[Block]:
    """What could not be cut, in a heavy frame; nothing where all can."""
    if not sheet.faults:
        return
    items: list[Item] = [Words(4, 8, "Fix these before cutting", 4.2, True)]
    y = 11.0
    for fault in sheet.faults:
        block = _remark(fault, width - 8)
        items += moved(block.items, 4, y)
        y += block.height
    yield Block(y + 6, (rectangle(0.6, 0.6, width - 1.2, y + 2, ink=1.2), *items))


def _remark(remark: Remark, width: float) -> Block:
    return text_block(f"{remark.about}: {remark.text}" if remark.about else remark.text, width)


def blocks_to_make(sheet: RunSheet, width: float, show: Show) -> Iterator[Block]:
    """Spacer blocks, each with a box to tick."""
    return (_ticked(block_text(block, show), width) for block in sheet.spacers)


def _ticked(words: str, width: float) -> Block:
    """A line with a box to tick, as many lines as it takes."""
    lines = wrapped(words, width - BOX - 2.5, 3.3)
    said = (Words(BOX + 2.5, 4.4 + 4.4 * n, one, 3.3) for n, one in enumerate(lines))
    return Block(2.1 + 4.4 * len(lines), (tick_box(0, 1.4), *said))


def _tenon(tenon: TenonStock, width: float, show: Show) -> Block:
    size = size_text((tenon.thickness, tenon.width, tenon.length), show)
    radius, strip = format_length(tenon.radius, show), format_length(tenon.strip, show)
    text = f"edges rounded to {radius}, {tenon.count} and {tenon.spares} spare, from {strip} of strip"
    lines = wrapped(text, width - 18, 2.9)
    return Block(
        7.5 + 4 * len(lines),
        (
            tick_box(0, 2),
            Words(BOX + 2.5, 5, tenon.joint, 3.4, True),
            Words(18, 5, f"{size}  (thickness × width × length)", 3.4),
            *(Words(18, 9.2 + 4 * n, one, 2.9) for n, one in enumerate(lines)),
        ),
    )
