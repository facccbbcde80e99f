"""Why a cut into finished sizes stands where it stands among the runs, in words."""

from collections.abc import Iterator, Sequence

from stopwright.plan.operations.operation import marks_of, said_together
from stopwright.plan.run_sheet import Move, Run
from stopwright.plan.stations.long_work import LONG


def why_like_this(run: Run, before: Sequence[Run]) -> Iterator[str]:
    """What stands already, and who shares the setting."""
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
        yield "a strip in between saves a second setting, and the width hangs on the strip alone"
