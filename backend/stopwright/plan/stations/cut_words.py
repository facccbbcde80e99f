"""Why a cut into finished sizes stands where it stands among the runs, in words."""

from collections.abc import Iterator, Sequence

from stopwright.lengths import format_length
from stopwright.model.stations import Shop
from stopwright.plan.operations.operation import marks_of, said_together
from stopwright.plan.run_sheet import Move, Run, Spacer
from stopwright.plan.stations.long_work import LONG


def why_like_this(run: Run, before: Sequence[Run], shop: Shop) -> Iterator[str]:
    """What stands already, who shares the setting, and what a strip is for."""
    if run.lot == LONG:
        yield "while the stock is long: fewer to feed, and no end breaks out"
    stands = [stop.axis for stop in run.stops if stop.move is Move.STANDS]
    if run.stops and len(stands) == len(run.stops):
        yield "every stop stands from before"
    elif stands and any(other.station == run.station for other in before):
        verb = "stands" if len(stands) == 1 else "stand"
        yield f"{said_together(stands)} {verb} from before"
    if len(marks_of(run)) > 1:
        yield f"{said_together(marks_of(run))} share one setting, so they match"
    if run.spacer:
        yield from _why_a_strip(run, run.spacer, shop)


def _why_a_strip(run: Run, strip: Spacer, shop: Shop) -> Iterator[str]:
    thick = format_length(strip.thickness, shop.show)
    station = next(station for station in shop.stations if station.name == run.station)
    saved = station.axis(strip.saves) if strip.saves else None
    if saved:
        yield f"a strip of {thick} saves setting the {saved.name} once more, {saved.minutes:g} min"
        yield "the width hangs on the strip alone"
    else:
        yield f"nearer than fence or stop goes: a block of {thick} lies in between"
