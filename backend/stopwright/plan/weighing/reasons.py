"""Why each run stands where it stands, in short sentences from the plan's own facts."""

from collections.abc import Iterable, Iterator, Sequence

from stopwright.lengths import Show, format_length
from stopwright.model.stations import Sets, Shop, Work
from stopwright.plan.run_sheet import Form, Move, Run, RunSheet, Stop
from stopwright.plan.sourcing.shop_figures import own_show

END_STOPS = (Sets.END_STOP_LEFT, Sets.END_STOP_RIGHT)


def reasons(sheet: RunSheet, shop: Shop) -> tuple[tuple[str, ...], ...]:
    """For each run of the sheet, in its order, why it comes there and why its stops stand so."""
    runs = sheet.runs
    return tuple(
        tuple(text[:1].upper() + text[1:] + "." for text in _of_run(run, runs[:place], runs[place + 1 :], shop))
        for place, run in enumerate(runs)
    )


def _of_run(run: Run, before: Sequence[Run], after: Sequence[Run], shop: Shop) -> Iterator[str]:
    """Each sentence without its capital and its full stop."""
    match run.work:
        case Work.JOINT:
            yield "first of all: every later measure is taken from the true face and edge"
        case Work.PLANE:
            yield from _of_height(run, before, after, shop)
        case Work.RIP | Work.CROSSCUT:
            yield from _of_saw(run, before)
        case Work.SQUARE:
            yield "before any length is cut: this end is the one that touches the stop"
        case Work.MOULD:
            yield from _of_moulding(run)
        case Work.MITRE:
            yield from _of_mitre(run)
        case Work.MORTISE:
            yield from _of_mortise(run, before, shop.show)


def _of_height(run: Run, before: Sequence[Run], after: Sequence[Run], shop: Shop) -> Iterator[str]:
    planed = [other for other in before if other.work is Work.PLANE]
    later = {mark for other in after if other.work is Work.PLANE for mark in _marks(other)}
    finished = [mark for mark in _marks(run) if mark not in later]
    station = shop.station_for(Work.PLANE)
    if not planed:
        yield "heights only go down, so each is set once"
    if finished:
        yield f"finished thickness of {_all(finished)}"
    elif station:
        yield f"on the way down: no cut is deeper than {format_length(station.greatest_cut, own_show(shop))}"
    joined = [mark for mark in _marks(run) if planed and mark not in _marks(planed[-1])]
    if joined:
        yield f"{_all(joined)} {'joins' if len(joined) == 1 else 'join'} here, now that the height is below the rough"


def _of_saw(run: Run, before: Sequence[Run]) -> Iterator[str]:
    ripping = run.work is Work.RIP
    first = not any(other.work is run.work for other in before)
    if _stands(run):
        yield f"the {'fence' if ripping else 'stop'} stands right already"
    elif run.size:
        order = "sizes follow each other in the order with the least minutes of setting"
        yield (order if first else "the next size in that order") if ripping else "the same lot goes straight on"
    elif first:
        wide = "widest first, so that what is left of the board stays wide enough to hold"
        yield wide if ripping else "longest first: what is too short for one stop still serves the next"
    else:
        yield f"the next {'width' if ripping else 'length'} down"
    if len(_marks(run)) > 1:
        yield f"{_all(_marks(run))} share one setting, so they match"


def _of_moulding(run: Run) -> Iterator[str]:
    long = any(lot.form is not Form.PIECE for lot in run.takes)
    yield "while the stock is long, crosscut after" if long else "after crosscutting: the piece has its size"
    cutter = next((stop for stop in run.stops if stop.sets is Sets.CUTTER), None)
    if cutter and cutter.move is Move.STANDS:
        yield f"the cutter {cutter.target} stays in"


def _of_mitre(run: Run) -> Iterator[str]:
    angle = next((stop for stop in run.stops if stop.sets is Sets.ANGLE), None)
    if angle and angle.move is Move.STANDS:
        yield "the angle stands from the run before"
    elif angle:
        yield "all of one angle follow each other, so it is set once"


def _of_mortise(run: Run, before: Sequence[Run], show: Show) -> Iterator[str]:
    last = next((other for other in reversed(before) if other.work is Work.MORTISE), None)
    moved = [stop for stop in run.stops if stop.move is Move.SET]
    bit = next((stop for stop in run.stops if stop.sets is Sets.BIT), None)
    if last is None:
        yield "first at the mortiser; the runs that share most with it come next"
    elif not moved:
        yield "every stop stands from before"
    elif all(stop.sets in END_STOPS for stop in moved):
        mirror = set(_marks(run)) & set(_marks(last))
        what = f"the mirror image of {_all(mirror)}: " if mirror and _at(run) != _at(last) else ""
        yield f"{what}only the end stop is new"
    elif bit and bit.move is Move.STANDS:
        verb = "moves" if len(moved) == 1 else "move"
        yield f"the {_length(bit, show)} bit stays in; only {_all(stop.axis for stop in moved)} {verb}"
    elif bit:
        yield f"all slots of the {_length(bit, show)} bit follow each other: changing it costs most"
    if run.spacer:
        kept = "the table height" if "under" in run.spacer.place else "the end stop"
        yield f"a block of {format_length(run.spacer.thickness, show)} saves moving {kept}"


def _stands(run: Run) -> bool:
    return bool(run.stops) and all(stop.move is Move.STANDS for stop in run.stops)


def _marks(run: Run) -> list[str]:
    return list(dict.fromkeys(pieces.mark for pieces in run.pieces))


def _at(run: Run) -> set[str]:
    return {pieces.at for pieces in run.pieces}


def _length(stop: Stop, show: Show) -> str:
    return format_length(stop.target, show) if isinstance(stop.target, int) else str(stop.target)


def _all(names: Iterable[str]) -> str:
    """Names joined as one says them; many of them as a number.

    >>> _all(["A"]), _all(["A", "B", "C"])
    ('A', 'A, B and C')
    """
    known = list(dict.fromkeys(names))
    if len(known) > 6:
        return f"{len(known)} parts"
    return f"{', '.join(known[:-1])} and {known[-1]}" if len(known) > 1 else "".join(known)
