"""Runs on paper: what to set, what stands, which pieces, and boxes to tick."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType

from stopwright.lengths import Show
from stopwright.paper.drawing import Anchor, Item, Words, line, moved
from stopwright.paper.marks import BOX, care_sign, mark_in_circle, tick_box
from stopwright.paper.page_flow import Block
from stopwright.paper.run_picture import picture_of
from stopwright.paper.typeface import CAPITAL, shortened, text_width, wrapped
from stopwright.paper.wording import (
    becomes_text,
    change_leaves,
    change_steps,
    change_text,
    line_text,
    lying_text,
    off_by_text,
    reading_text,
    spacer_text,
)
from stopwright.plan.pictures.canvas import Canvas
from stopwright.plan.run_sheet import Changeover, Move, Run, Stop
from stopwright.plan.said_lengths import read_out
from stopwright.plan.stations.making_ready import CAUTIONS

NO_PICTURES: Mapping[int, Sequence[Canvas]] = {}
STOPS_AT = 15.0
NO_BREAK = "\u00a0"
GAP = 5.0
SMALL = 2.8
PLAIN = 3.3
LARGE = 5.4


def run_blocks(
    runs: Iterable[Run],
    width: float,
    show: Show,
    falls: Mapping[str, str] = MappingProxyType({}),
    pictures: Mapping[int, Sequence[Canvas]] = NO_PICTURES,
) -> Iterator[Block]:
    """One block a run, one for every two of its pictures, one for a changeover before it.

    `falls` says when a run falls, by its id. A caution stands under the first run or changeover it belongs to, and
    holds from there on.
    """
    said: set[str] = set()
    for number, run in enumerate(runs):
        if run.change:
            yield _change_block(run.change, width, show, [one.text for one in CAUTIONS if one.text not in said])
            said.update(one.text for one in CAUTIONS)
        new = [caution for caution in run.cautions if caution not in said]
        said.update(new)
        pictured = _pictured(pictures.get(run.number, ()), width, show)
        block = _run_block(run, width, show, new, falls.get(run.id, ""))
        rule = [line(0, 0, width, 0, ink=0.18)] if number else []
        yield Block(block.height, (*rule, *block.items), leads=bool(pictured))
        yield from pictured


def _run_block(run: Run, width: float, show: Show, cautions: list[str], falls: str) -> Block:
    pieces_at = STOPS_AT + (width - STOPS_AT) * 0.52
    items: list[Item] = [
        Words(11, 6.6, str(run.number), 5.4 if run.number < 100 else 4.4, True, Anchor.END),
        Words(STOPS_AT, 6.2, f"{run.station}, {run.work}", PLAIN, True),
    ]
    left = 8.2
    room = pieces_at - GAP - STOPS_AT
    for one in (*([falls] if falls else []), *wrapped(read_out(run.note, show), room, SMALL)):
        items.append(Words(STOPS_AT, left + SMALL, one, SMALL, shade=0.25))
        left += SMALL * 1.35
    for stop in run.stops:
        if stop.move is Move.SET:
            drawn, height = _stop_to_set(stop, STOPS_AT, left, room, show)
            items += drawn
            left += height
    for one in wrapped(_standing(run, show), room - BOX - 2, PLAIN):
        items.append(Words(STOPS_AT + BOX + 2, left + 4, one, PLAIN))
        left += 4.7
    if run.spacer:
        items.append(Words(STOPS_AT + BOX + 2, left + 4, f"with {spacer_text(run.spacer, show)}", PLAIN, True))
        left += 6
    right = 2.0
    for line_ in run.lines:
        name, under = line_text(line_), becomes_text(line_.becomes)
        drawn, height = _counted_line(line_.chalk, line_.count, name, under, pieces_at, right, width - pieces_at)
        items += drawn
        right += height
    for pieces in () if run.lines else run.pieces:
        drawn, height = _counted_line(
            pieces.mark,
            pieces.count,
            pieces.name,
            "; ".join(filter(None, (lying_text(pieces), pieces.note))),
            pieces_at,
            right,
            width - pieces_at,
        )
        items += drawn
        right += height
    drawn, bottom = _cautions(cautions, max(left, right) + 1.2, width)
    return Block(bottom + 1.4, (*items, *drawn))


def _change_block(change: Changeover, width: float, show: Show, cautions: list[str]) -> Block:
    """A changeover: a box for each thing to take off, cover and put on, what stands, what is set again."""
    items: list[Item] = [line(0, 0, width, 0, ink=0.18)]
    items += [
        Words(STOPS_AT, 6.2, one, PLAIN, True) for one in [shortened(change_text(change), width - STOPS_AT, PLAIN)]
    ]
    y = 8.2
    for head, words in change_steps(change):
        is_done = head != "does not stand afterwards"
        for n, one in enumerate(wrapped(f"{head}: {words}", width - STOPS_AT - BOX - 2, PLAIN)):
            if is_done and not n:
                items.append(tick_box(STOPS_AT, y + 0.6))
            items.append(Words(STOPS_AT + BOX + 2, y + 4, one, PLAIN))
            y += 5.2
    for head, words in change_leaves(change, show):
        for one in wrapped(f"{head}: {words}", width - STOPS_AT - BOX - 2, SMALL):
            items.append(Words(STOPS_AT + BOX + 2, y + 3.2, one, SMALL, shade=0.25))
            y += SMALL * 1.35
    drawn, bottom = _cautions(cautions, y + 1.2, width)
    return Block(bottom + 1.4, (*items, *drawn))


def _pictured(boards: Sequence[Canvas], width: float, show: Show) -> list[Block]:
    """The pictures of a run, two side by side in a block of their own: the first ones stay with the run."""
    wide = (width - STOPS_AT - GAP) / 2
    blocks = []
    for row in range(0, len(boards), 2):
        drawn = [picture_of(board, wide, show) for board in boards[row : row + 2]]
        placed = (moved(one.items, STOPS_AT + place * (wide + GAP), 0) for place, one in enumerate(drawn))
        blocks.append(Block(max(one.height for one in drawn) + 2, tuple(item for items in placed for item in items)))
    return blocks


def _cautions(cautions: list[str], y: float, width: float) -> tuple[list[Item], float]:
    """Cautions below each other, and where they end."""
    items: list[Item] = []
    for caution in cautions:
        lines = wrapped(caution, width - STOPS_AT - 6, SMALL)
        items += care_sign(STOPS_AT, y, 3.4)
        items += [Words(STOPS_AT + 5.6, y + 2.7 + n * 3.8, one, SMALL) for n, one in enumerate(lines)]
        y += len(lines) * 3.8 + 0.6
    return items, y


def _standing(run: Run, show: Show) -> str:
    """Every stop that is left as it stands, in one sentence."""
    standing = [
        f"{stop.axis} {reading_text(stop, show)}".replace(" ", NO_BREAK)
        for stop in run.stops
        if stop.move is Move.STANDS
    ]
    return ("stands: " + ", ".join(standing)) if standing else ""


def _stop_to_set(stop: Stop, x: float, y: float, width: float, show: Show) -> tuple[list[Item], float]:
    """A box, the stop, and its reading as large as it goes; under it what the nearest graduation is off by."""
    reading = reading_text(stop, show)
    room = width - BOX - 2
    size = min(LARGE, 0.62 * room / text_width(reading, 1, True))
    base = y + 5.6
    axis = shortened(stop.axis, room - text_width(reading, size, True) - 2, PLAIN)
    items: list[Item] = [
        tick_box(x, base - BOX + 0.3),
        Words(x + BOX + 2, base, axis, PLAIN),
        Words(x + width, base, reading, size, True, Anchor.END),
    ]
    off = off_by_text(stop, show)
    if off:
        items.append(Words(x + width, base + 3.5, off, 2.5, anchor=Anchor.END))
    return items, 7.4 + (3.2 if off else 0)


def _counted_line(
    sign: str, count: int, name: str, under: str, x: float, y: float, width: float
) -> tuple[list[Item], float]:
    base = y + 4.6
    number = str(count)
    name_at = x + BOX + 9.4 + 8.5
    items: list[Item] = [
        tick_box(x, base - BOX + 0.3),
        *mark_in_circle(x + BOX + 5.2, base - CAPITAL * PLAIN / 2, sign),
        Words(name_at - 1.6, base, number, 4.0 if len(number) < 4 else 3.0, True, Anchor.END),
        Words(name_at, base, shortened(name, x + width - name_at, PLAIN), PLAIN),
    ]
    height = 6.6
    for one in wrapped(under, x + width - name_at, 2.6):
        items.append(Words(name_at, y + height + 1.6, one, 2.6))
        height += 3.5
    return items, height + (0.8 if height > 7 else 0)
