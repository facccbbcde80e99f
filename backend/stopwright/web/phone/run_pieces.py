"""What is counted in a run, line by line: pieces, or boards and strips that are not pieces yet, and where they lie."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from stopwright.model.job import Job
from stopwright.model.stations import Shop
from stopwright.paper.wording import becomes_text, line_text, lying_text
from stopwright.plan.run_sheet import Line, Lot, Pieces, Run
from stopwright.plan.said_lengths import said_rough
from stopwright.web.kit.pages import opened
from stopwright.web.kit.run_titles import run_title
from stopwright.web.phone.run_shares import RunShares
from stopwright.web.phone.run_state import slot_of


@dataclass(frozen=True, slots=True)
class PieceView:
    """One line that is counted in a run: pieces of a part, or boards and strips that are not pieces yet.

    `mark` is what a tap names, `sign` what is written on the wood, `marks` the parts inside. Where to fetch them,
    where they go next, and how many are needed. `whose` is the name of the job where several are worked together.
    """

    slot: str
    mark: str
    sign: str
    name: str
    mirrored: bool
    need: int
    fetch: str
    goes: str
    lying: str
    cut: int
    marks: tuple[str, ...]
    note: str = ""
    is_pieces: bool = True
    whose: str = ""
    far: tuple[str, ...] = ()
    """How a piece lies, in words short enough to be read from where the machine is worked."""

    @property
    def called(self) -> str:
        """What a button of the line is about: `Leg, mirrored`."""
        return ", ".join((self.name, *(["mirrored"] if self.mirrored else []), *([self.whose] if self.whose else [])))


class RunPieces:
    """The lines of one run. `earlier` come before it, `later` after it; `cut` says how many are counted.

    Counts are by mark, mirrored pieces apart.
    """

    def __init__(
        self,
        run: Run,
        earlier: Sequence[Run],
        later: Sequence[Run],
        cut: Mapping[tuple[str, bool], int],
        job: Job,
        shop: Shop,
        shares: RunShares,
    ) -> None:
        self._run = run
        self._earlier = earlier
        self._later = later
        self._cut = cut
        self._job = job
        self._shop = shop
        self._shares = shares

    @property
    def views(self) -> list[PieceView]:
        """What is counted, with where it comes from: boards or strips, once they are cut the pieces."""
        if self._run.lines:
            return [self._line(line) for line in self._run.lines]
        return [self._pieces(pieces) for pieces in self._run.pieces]

    @property
    def before(self) -> list[int]:
        """The numbers of the runs before this one that work at the same parts; for a panel at its own strips."""
        mine = _taken(self._run) if self._run.gluing else _marks(self._run)
        return [run.number for run in self._earlier if not _marks(run).isdisjoint(mine)]

    def _pieces(self, pieces: Pieces) -> PieceView:
        return PieceView(
            slot_of(pieces.mark, pieces.mirrored),
            pieces.mark,
            pieces.mark,
            pieces.name,
            pieces.mirrored,
            pieces.count,
            self._fetch(pieces.mark),
            self._goes(pieces.mark, pieces.mirrored),
            lying_text(pieces).replace(", mirrored", ""),
            self._cut.get((pieces.mark, pieces.mirrored), 0),
            (pieces.mark,),
            pieces.note,
            whose=self._shares.whose(pieces.mark),
            far=_far_words(pieces),
        )

    def _line(self, line: Line) -> PieceView:
        return PieceView(
            slot_of(line.lot, False),
            line.lot,
            line.chalk,
            opened(line_text(line)),
            False,
            line.count,
            self._fetch_lot(line),
            self._lot_goes(line),
            becomes_text(line.becomes),
            self._cut.get((line.lot, False), 0),
            tuple(mark for mark, _ in line.becomes),
            is_pieces=False,
            whose=self._shares.whose(line.lot),
        )

    def _fetch(self, mark: str) -> str:
        alike = (run for run in reversed(self._earlier) if mark in _marks(run) and not self._run.gluing)
        last = next(alike, None) or self._last_to_give(self._run.takes)
        if last is not None:
            return self._from_run(last)
        part = next((part for part in self._job.parts if part.mark == mark), None)
        return f"from the rack: {part.material}" if part and part.material else "from the rack"

    def _fetch_lot(self, line: Line) -> str:
        """Where the boards or strips of a line lie: at the run that gave them, or on the rack, as large as they are."""
        taken = [lot for lot in self._run.takes if line.lot in (lot.name, lot.source)]
        last = self._last_to_give(taken)
        if last is not None:
            return self._from_run(last)
        return f"from the rack: {taken[0].material} {said_rough(*taken[0].size)}" if taken else ""

    def _goes(self, mark: str, mirrored: bool) -> str:
        """Where pieces are carried when they are done here: to the next run that works them, else to be sorted."""
        for run in (run for run in self._later if not run.gluing):
            rows = [row for row in run.pieces if row.mark == mark]
            if any(row.mirrored == mirrored for row in rows) or (rows and not any(row.mirrored for row in rows)):
                return self._to_run(run)
        return "then to be sorted" if any(part.mark == mark for part in self._job.parts) else "then to the glue-up"

    def _lot_goes(self, line: Line) -> str:
        """Where boards or strips are carried: to the next run that takes any of them."""
        given = {lot.name for lot in self._run.gives if line.lot in (lot.name, lot.source)}
        found = (run for run in self._later if any(lot.name in given for lot in run.takes))
        run = next(found, None)
        return self._to_run(run) if run else ""

    def _last_to_give(self, lots: Iterable[Lot]) -> Run | None:
        """The last run before this one that gave one of these lots."""
        names = {lot.name for lot in lots}
        return next((run for run in reversed(self._earlier) if any(lot.name in names for lot in run.gives)), None)

    def _from_run(self, run: Run) -> str:
        return f"from run {run.number}, {self._called(run)}"

    def _to_run(self, run: Run) -> str:
        return f"then to run {run.number}, {run.station}"

    def _called(self, run: Run) -> str:
        return run_title(run, next((one for one in self._shop.stations if one.name == run.station), None)).lower()


def _far_words(pieces: Pieces) -> tuple[str, ...]:
    """Side down, end at which stop, mirrored: one after the other, further cuts in the same pieces after a "then".

    >>> _far_words(Pieces("A", "Leg", 4, reference="marked end", at="left", mirrored=True))
    ('mirrored', 'marked end left')
    """
    said = ["mirrored"] if pieces.mirrored else []
    for place, one in enumerate(pieces.each):
        lies = [f"{one.down} down"] if one.down else []
        lies += [f"{one.reference} {one.at}"] if one.reference and one.at else []
        said += ["then", *lies] if place and lies else lies
    return tuple(said)


def _marks(run: Run) -> set[str]:
    """The marks of its pieces, and of what it takes: strips become a panel of another mark."""
    return {pieces.mark for pieces in run.pieces} | _taken(run)


def _taken(run: Run) -> set[str]:
    """The marks of what it takes."""
    return {mark for lot in run.takes for mark, _ in lot.becomes}
