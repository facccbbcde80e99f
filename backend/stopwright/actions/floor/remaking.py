"""A piece that went wrong: what happened taken down, and how it is made again step by step."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from stopwright.actions.floor.shelf import as_stock, shelf
from stopwright.actions.floor.sorting import UNTOUCHED
from stopwright.actions.floor.stopping import floor_of
from stopwright.actions.floor.working import JobState, job_state
from stopwright.actions.jobs.numbering import give_codes_to, pieces_of
from stopwright.actions.jobs.planning import Planned
from stopwright.actions.shop.memory import readings
from stopwright.errors import NotFound, StopwrightError
from stopwright.lengths import Nm
from stopwright.model.gear import Blade
from stopwright.model.stations import Shop
from stopwright.plan.assembling.pieces import Piece
from stopwright.plan.assembling.remake import Readings, Remake, Ways, WoodOnHand, plan_remake
from stopwright.plan.run_sheet import Run
from stopwright.plan.timber.sections import planing_loss
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.log import Store
from stopwright.store.piece_fold import PieceState
from stopwright.store.run_fold import RunState

REASONS = (
    "cut too short",
    "cut too narrow",
    "the stop had moved",
    "wrong stop",
    "slot in the wrong place",
    "wrong hand",
    "torn grain",
    "split or knot",
    "dropped or bruised",
)
"""What usually happens; anything else is written."""


@dataclass(frozen=True, slots=True)
class RemakeStands:
    """A piece with how it stands and, while it is to be made again, how that is done."""

    piece: Piece
    state: PieceState
    runs: tuple[Run, ...]
    remake: Remake | None
    unproved: frozenset[tuple[str, str]] = frozenset()
    """Run's key and axis of readings that a trial piece corrected and none has proved since."""
    not_begun: frozenset[str] = frozenset()
    """Runs, by key, that nobody has worked yet: the piece goes along with the others."""
    along: Mapping[str, tuple[Piece, ...]] = field(default_factory=dict)
    """By run, by key, the other pieces of its part and hand that are made again too and have not passed it."""

    @property
    def passed(self) -> frozenset[str]:
        """The runs, by key, that the remake has passed."""
        return self.state.again

    @property
    def left(self) -> tuple[Run, ...]:
        """The runs that the remake has not passed, in their order."""
        return tuple(step.run for step in self.remake.steps if step.run.id not in self.passed) if self.remake else ()


def remake_stands(store: Store, job: str, planned: Planned, piece: Piece) -> RemakeStands:
    """How a piece stands, with the remake where it is to be made again."""
    state = job_state(store, job)
    stands = state.pieces.get(piece.index, UNTOUCHED)
    runs = Ways(planned.job, planned.sheet).of(piece)
    if not stands.missing:
        return RemakeStands(piece, stands, runs, None)
    pieces = pieces_of(store, job, planned)
    remake = plan_remake(
        planned.job,
        planned.shop,
        planned.sheet,
        piece,
        stands=floor_of(store, planned.shop).of_run,
        readings=_readings(store, planned, state),
        woods=woods_on_hand(store, planned),
        good=[one for one in pieces if not state.pieces.get(one.index, UNTOUCHED).missing],
    )
    sisters = [one for one in pieces if one.index != piece.index and (one.mark, one.hand) == (piece.mark, piece.hand)]
    again = [(one, state.pieces[one.index].again) for one in sisters if state.pieces.get(one.index, UNTOUCHED).missing]
    return RemakeStands(
        piece,
        stands,
        runs,
        remake,
        _unproved(state),
        frozenset(run.id for run in runs if not _is_begun(state.run(run.id))),
        {run.id: tuple(one for one, passed in again if run.id not in passed) for run in runs},
    )


def spoil_piece(
    store: Store,
    job: str,
    planned: Planned,
    piece: Piece,
    run: str,
    what: str,
    device: str,
    now: Clock = utc_now,
    id_: str = "",
) -> None:
    """Takes down that a piece went wrong, the last run it came to being the one with id `run`.

    What earlier runs owe grows by one each. A remake may go wrong again once it has passed a run. Raises NotFound for
    a run that it does not pass, StopwrightError when it is already being made again and nothing was done to it.
    """
    state = job_state(store, job)
    at = next((one for one in Ways(planned.job, planned.sheet).of(piece) if one.id == run), None)
    if at is None:
        raise NotFound("this piece does not pass that run", piece.label, "choose one from the list")
    stands = state.pieces.get(piece.index, UNTOUCHED)
    known = bool(id_) and store.event(id_) is not None
    if not known and stands.missing and not stands.again:
        raise StopwrightError("it is already being made again", piece.label, "continue its remake")
    give_codes_to(store, job, planned, device, now)
    key = (piece.mark, counted_mirrored(piece, at))
    body = {"run": run, "mark": piece.mark, "count": 1, "piece": piece.index, "what": in_few_words(what)}
    body |= {"counted": state.run(run).cut.get(key, 0) > 0} | ({"mirrored": True} if key[1] else {})
    store.append([Event(id_ or new_id(), job, "piece spoiled", written(now()), device, body)])


def pass_run(
    store: Store, job: str, planned: Planned, piece: Piece, run: str, device: str, now: Clock = utc_now, id_: str = ""
) -> None:
    """Takes down that the remake of a piece has passed a run: ticked for the piece, and counted where pieces are.

    Boards and strips were counted when the batch passed; the blank of a remake is none of them. Raises NotFound.
    """
    at = next((one for one in Ways(planned.job, planned.sheet).of(piece) if one.id == run), None)
    if at is None:
        raise NotFound("this piece does not pass that run", piece.label, "reload the page")
    id_, when = id_ or new_id(), written(now())
    past = Event(f"{id_}-past", job, "piece remade", when, device, {"piece": piece.index, "run": run})
    if at.lines:
        store.append([past])
        return
    cut = {"run": run, "mark": piece.mark, "count": Ways(planned.job, planned.sheet).times(piece, at)} | (
        {"mirrored": True} if counted_mirrored(piece, at) else {}
    )
    store.append([Event(f"{id_}-cut", job, "piece cut", when, device, cut), past])


def finish_remake(store: Store, job: str, piece: Piece, device: str, now: Clock = utc_now, id_: str = "") -> None:
    """Takes down that a piece is whole again; it is sorted anew."""
    body = {"piece": piece.index}
    store.append([Event(id_ or new_id(), job, "piece remade", written(now()), device, body)])


def woods_on_hand(store: Store, planned: Planned) -> list[WoodOnHand]:
    """What a remake may come from: the shelf, what this job leaves over, boards and sheets that it does not touch."""
    return [*_shelf(store, planned.shop), *_left_over(planned), *_untouched(planned)]


def _shelf(store: Store, shop: Shop) -> Iterator[WoodOnHand]:
    for one in shelf(store).lying:
        size = (*one.clean, one.thickness)
        place, loses = f"offcut {one.number} on the shelf", 0 if one.sheet else planing_loss(as_stock(one), shop)
        yield WoodOnHand(place, 0, *size, one.material, one.sheet, one.number, loses)


def _left_over(planned: Planned) -> Iterator[WoodOnHand]:
    stock = planned.job.stock
    for layout in planned.sheet.wood.layouts:
        for left in layout.offcuts:
            yield WoodOnHand(
                "what this job leaves over",
                1,
                *left.clean,
                layout.finished,
                layout.material,
                stock[layout.stock].is_sheet,
            )


def _untouched(planned: Planned) -> Iterator[WoodOnHand]:
    used: dict[int, int] = {}
    for layout in planned.sheet.wood.layouts:
        used[layout.stock] = used.get(layout.stock, 0) + layout.times
    for place, row in enumerate(planned.job.stock):
        if row.quantity is None or row.quantity > used.get(place, 0):
            loses = 0 if row.is_sheet else planing_loss(row, planned.shop)
            what, size = f"a whole {row.kind}", (*row.clean, row.thickness)
            yield WoodOnHand(what, 2, *size, row.material, row.is_sheet, loses=loses)


def _readings(store: Store, planned: Planned, state: JobState) -> Readings:
    """The readings of this job's own runs, else those that worked before at the same target with the same blade.

    Of other jobs only what a trial piece has proved: an attempt somewhere else says nothing here.
    """
    before = readings(store)
    blades = {station.name: station.of(Blade).blade for station in planned.shop.stations}
    found: dict[tuple[str, str], Nm] = {}
    for run in planned.sheet.runs:
        own: Mapping[str, Nm] = state.run(run.id).readings
        for stop in run.stops:
            if stop.axis in own:
                found[run.id, stop.axis] = own[stop.axis]
            elif isinstance(stop.target, int):
                known = before.get((run.station, stop.axis, blades.get(run.station, ""), stop.target))
                if known is not None and known.proved:
                    found[run.id, stop.axis] = known.reading
    return found


def _unproved(state: JobState) -> frozenset[tuple[str, str]]:
    last = {(key, trial.axis): trial for key, run in state.runs.items() for trial in run.measured}
    return frozenset(
        place
        for place, trial in last.items()
        if not trial.within and state.run(place[0]).readings[trial.axis] == trial.corrected  # not one noted by hand
    )


def _is_begun(run: RunState) -> bool:
    return run.is_set or run.done or any(run.cut.values())


def in_few_words(what: str) -> str:
    """What went wrong as it is taken down, at most 400 characters of it."""
    return what.strip()[:400] or "not said"


def counted_mirrored(piece: Piece, run: Run) -> bool:
    """True when the run counts this piece among its mirrored ones."""
    return piece.hand == "left" and any(one.mirrored for one in run.pieces if one.mark == piece.mark)
