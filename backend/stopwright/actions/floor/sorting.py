"""Pieces and units of a job as they stand: which run a piece waits for, which unit it is in, what a unit lacks."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from stopwright.actions.floor.working import JobState, job_state
from stopwright.actions.jobs.numbering import code_of, pieces_of
from stopwright.actions.jobs.planning import Planned
from stopwright.plan.assembling.pieces import Piece
from stopwright.plan.assembling.remake import Ways
from stopwright.plan.run_sheet import Run
from stopwright.store.log import Store
from stopwright.store.piece_fold import PieceState

UNTOUCHED = PieceState()


@dataclass(frozen=True, slots=True)
class PieceCard:
    """A piece with its code, how it stands, the runs it passes and the next of them, None when it is through."""

    piece: Piece
    code: str
    state: PieceState
    runs: tuple[Run, ...]
    next: Run | None

    @property
    def sorted(self) -> bool:
        """True when it lies with its own unit."""
        return self.piece.unit is not None and self.state.unit == self.piece.unit


@dataclass(frozen=True, slots=True)
class UnitCard:
    """One unit: its pieces in part-list order, those with it and those it lacks."""

    number: int
    cards: tuple[PieceCard, ...]

    @property
    def missing(self) -> tuple[PieceCard, ...]:
        """The pieces that do not lie with it yet."""
        return tuple(card for card in self.cards if not card.sorted)

    @property
    def here(self) -> int:
        """How many pieces lie with it."""
        return len(self.cards) - len(self.missing)


def piece_cards(store: Store, job: str, planned: Planned) -> list[PieceCard]:
    """All pieces in the order off the saw. Raises NotFound."""
    return cards_for(pieces_of(store, job, planned), job_state(store, job), planned, job)


def cards_for(pieces: Sequence[Piece], state: JobState, planned: Planned, job: str) -> list[PieceCard]:
    """The cards of these pieces."""
    ways = Ways(planned.job, planned.sheet)
    cards = []
    for piece in pieces:
        runs = ways.of(piece)
        stands = state.pieces.get(piece.index, UNTOUCHED)
        cards.append(PieceCard(piece, code_of(job, piece), stands, runs, _next(runs, stands, state)))
    return cards


@dataclass(frozen=True, slots=True)
class Sorted:
    """How sorting stands, pieces by index: by unit those that lie with it, those to be made again, and by the run that
    they come to next those that do not lie with their unit.
    """

    by_unit: Mapping[int, Sequence[int]]
    spoiled: Sequence[int]
    waits: Sequence[tuple[Run, Sequence[int]]]


def how_sorted(pieces: Iterable[Piece], state: JobState, planned: Planned) -> Sorted:
    """How sorting stands with these pieces: in whole runs of them, since of 100 000 few were touched one by one."""
    ways = Ways(planned.job, planned.sheet)
    by_unit: dict[int, list[int]] = defaultdict(list)
    waits: dict[int, tuple[Run, list[int]]] = {}
    untouched: dict[int, Run | None] = {}
    spoiled = []
    for piece in pieces:
        runs, stands = ways.of(piece), state.pieces.get(piece.index)
        if stands is None:
            if id(runs) not in untouched:  # those of a part and hand are the same tuple
                untouched[id(runs)] = _next(runs, UNTOUCHED, state)
            waits_for = untouched[id(runs)]
        else:
            waits_for = _next(runs, stands, state)
            if stands.missing:
                spoiled.append(piece.index)
            if stands.unit is not None:
                by_unit[stands.unit].append(piece.index)
                waits_for = None if stands.unit == piece.unit else waits_for
        if waits_for is not None:
            waits.setdefault(waits_for.number, (waits_for, []))[1].append(piece.index)
    return Sorted(by_unit, spoiled, tuple(waits.values()))


def unit_cards(cards: Sequence[PieceCard]) -> list[UnitCard]:
    """The units in order, spares left out."""
    by_unit: dict[int, list[PieceCard]] = {}
    for card in sorted(cards, key=lambda card: card.piece.index):
        if card.piece.unit is not None:
            by_unit.setdefault(card.piece.unit, []).append(card)
    return [UnitCard(number, tuple(by_unit[number])) for number in sorted(by_unit)]


def _next(runs: Sequence[Run], stands: PieceState, state: JobState) -> Run | None:
    """A spoiled piece waits for the first run that its remake has not passed; others for the first that is open."""
    if stands.missing:
        return next((run for run in runs if run.id not in stands.again), None)
    return next((run for run in runs if not state.run(run.id).done), None)
