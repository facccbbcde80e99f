"""The run sheet in short, a line or two a run, so that a long job goes onto a few pages; and pages by station."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from stopwright.lengths import Show
from stopwright.paper.day_text import falls_of
from stopwright.paper.drawing import Anchor, Item, Words, line
from stopwright.paper.marks import BOX, care_sign, tick_box
from stopwright.paper.page_flow import Block, document_pdf, flow, heading, text_area, text_block
from stopwright.paper.pdf import A4, pdf_of_pages
from stopwright.paper.run_blocks import run_blocks
from stopwright.paper.run_sheet_pdf import blocks_to_make, faults_block, title_block
from stopwright.paper.typeface import text_width, wrapped
from stopwright.paper.wording import change_text, line_text, lying_text, reading_text, runs_text, spacer_text
from stopwright.plan.run_sheet import Line, Move, Run, RunSheet, Spacer
from stopwright.plan.said_lengths import read_out

SIZE = 2.8
LARGER = 3.4
LEADING = 3.9
NUMBER_AT = BOX + 8.0
STOPS_AT = NUMBER_AT + 2.0
SHARE = 0.62
"""Where the pieces of a run begin, of the width."""
NO_BREAK = "\u00a0"


@dataclass(frozen=True, slots=True)
class _Said:
    """Words that stand on one line together."""

    text: str
    bold: bool = False

    @property
    def size(self) -> float:
        return LARGER if self.bold else SIZE

    @property
    def width(self) -> float:
        return text_width(self.text, self.size, self.bold)


def short_sheet_pdf(sheet: RunSheet, show: Show = Show.MM, page: tuple[float, float] = A4) -> bytes:
    """The runs of a sheet in short as a PDF, with the blocks they need, faults first; `page` is A4 or LETTER, mm."""
    width, _ = text_area(page)
    blocks = [title_block(sheet, width), *faults_block(sheet, width), *_visits(sheet.runs, width, show)]
    if sheet.spacers:
        blocks += [heading("Blocks to make", width), *blocks_to_make(sheet, width, show)]
    return document_pdf(blocks, page, f"{sheet.job}, in short")


def station_pages_pdf(sheet: RunSheet, show: Show = Show.MM, page: tuple[float, float] = A4) -> bytes:
    """A page for every station to pin up there, or more where its runs need them: its runs in full, and its blocks."""
    width, _ = text_area(page)
    pages = []
    for station in dict.fromkeys(run.station for run in sheet.runs):
        runs = [run for run in sheet.runs if run.station == station]
        blocks = [_station_title(sheet.job, station, runs, width), *run_blocks(runs, width, show, falls_of(sheet))]
        used = _blocks_used(runs, width, show)
        if used:
            blocks += [heading("Blocks used here", width), *used]
        pages += flow(blocks, page, f"{sheet.job}, {station}")
    if not pages:
        pages = flow([text_block("There are no runs yet.", width)], page, sheet.job)
    return pdf_of_pages(pages, page, f"{sheet.job}, by station")


def _station_title(job: str, station: str, runs: Sequence[Run], width: float) -> Block:
    numbers = runs_text([run.number for run in runs])
    size = min(11.0, width / text_width(station, 1, True))
    items = (Words(0, 11, station, size, True), Words(0, 18, f"{job}: {numbers}", 3.6, shade=0.25))
    return Block(22.0, (*items, line(0, 20.5, width, 20.5, ink=0.5)), leads=True)


def _blocks_used(runs: Iterable[Run], width: float, show: Show) -> list[Block]:
    used: dict[Spacer, list[int]] = {}
    for run in runs:
        if run.spacer:
            used.setdefault(run.spacer, []).append(run.number)
    return [text_block(f"{spacer_text(one, show)}: {runs_text(numbers)}", width) for one, numbers in used.items()]


def _visits(runs: Sequence[Run], width: float, show: Show) -> Iterator[Block]:
    """Visit after visit, the station over its runs; a caution stands under the first run it belongs to."""
    said: set[str] = set()
    for station, visit in groupby(runs, key=lambda run: run.station):
        rule = line(0, 1.4, width, 1.4, ink=0.4)
        yield Block(7.0, (rule, Words(0, 5.8, station, LARGER, True)), leads=True)
        for run in visit:
            new = [caution for caution in run.cautions if caution not in said]
            said.update(new)
            yield _row(run, width, show, new)


def _row(run: Run, width: float, show: Show, cautions: Sequence[str]) -> Block:
    pieces_at = width * SHARE
    left, left_to = _set_in(_what_to_set(run, show), STOPS_AT, pieces_at - 4 - STOPS_AT)
    right, right_to = _set_in(_what_to_cut(run), pieces_at, width - pieces_at)
    bottom = max(left_to, right_to)
    items: list[Item] = [
        tick_box(0, 0.6),
        Words(NUMBER_AT, LEADING - 0.4, str(run.number), LARGER, True, Anchor.END),
        *left,
        *right,
    ]
    for caution in cautions:
        items += care_sign(STOPS_AT, bottom + 0.3, 2.8)
        for one in wrapped(caution, width - STOPS_AT - 4.4, SIZE):
            items.append(Words(STOPS_AT + 4.4, bottom + LEADING - 1.2, one, SIZE))
            bottom += LEADING - 0.3
    return Block(bottom + 1.5, (*items, line(STOPS_AT, bottom + 0.9, width, bottom + 0.9, ink=0.1)))


def _what_to_set(run: Run, show: Show) -> Iterator[_Said]:
    yield _Said(f"{run.work}:")
    if run.change:
        yield from map(_Said, f"{change_text(run.change)};".split())
    to_set = [stop for stop in run.stops if stop.move is Move.SET]
    for stop in to_set:
        yield _Said(stop.axis.replace(" ", NO_BREAK))
        reading = reading_text(stop, show).replace(" ", NO_BREAK)
        yield _Said(reading if stop is to_set[-1] else f"{reading},", bold=True)
    if run.spacer:
        yield from (_Said(word, bold=True) for word in f"with {spacer_text(run.spacer, show)}".split())
    stands = [f"{stop.axis} {reading_text(stop, show)}" for stop in run.stops if stop.move is Move.STANDS]
    if stands:
        yield from map(_Said, f"({', '.join(one.replace(' ', NO_BREAK) for one in stands)} stands)".split(" "))
    if run.note:
        yield from map(_Said, f"· {read_out(run.note, show)}".split())


def _what_to_cut(run: Run) -> Iterator[_Said]:
    told = [_line(one) for one in run.lines] or [
        (f"{one.count}{NO_BREAK}{one.mark}", ": ".join(filter(None, (one.name, lying_text(one))))) for one in run.pieces
    ]
    for place, (large, words) in enumerate(told):
        end = ";" if place < len(told) - 1 else ""
        yield _Said(large if words else large + end, bold=True)
        if words:
            yield from map(_Said, (words + end).split())


def _line(counted: Line) -> tuple[str, str]:
    """Boards by their name, strips and sections by their number: large, and the words after it."""
    words = line_text(counted)
    return (words.replace(" ", NO_BREAK), "") if words == counted.lot else (str(counted.count), words)


def _set_in(words: Iterable[_Said], x: float, width: float) -> tuple[list[Item], float]:
    """Words one after the other in lines of that width; how far down they go."""
    items: list[Item] = []
    at, base = 0.0, LEADING - 0.4
    space = text_width(" ", SIZE)
    for one in words:
        if at and at + one.width > width:
            at, base = 0.0, base + LEADING
        items.append(Words(x + at, base, one.text, one.size, one.bold))
        at += one.width + space
    return items, base + 0.9
