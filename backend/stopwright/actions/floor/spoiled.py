"""Pieces counted as spoiled at a run without saying which: what is still open, and giving one its name."""

from collections.abc import Sequence
from dataclasses import dataclass

from stopwright.actions.floor.remaking import counted_mirrored, in_few_words
from stopwright.actions.floor.sorting import UNTOUCHED
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.numbering import give_codes_to, pieces_of
from stopwright.actions.jobs.planning import Planned
from stopwright.errors import NotFound, StopwrightError
from stopwright.plan.assembling.pieces import Piece
from stopwright.plan.assembling.remake import Ways
from stopwright.plan.run_sheet import Run
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.log import Store
from stopwright.store.run_fold import standing


@dataclass(frozen=True, slots=True)
class Unnamed:
    """A tap by which pieces were counted as spoiled, `count` of them, and the pieces that any of them may be."""

    tap: Event
    run: Run
    pieces: tuple[Piece, ...]

    @property
    def count(self) -> int:
        """How many pieces the tap stands for."""
        return int(self.tap.body["count"])


def unnamed_spoils(store: Store, job: str, planned: Planned) -> list[Unnamed]:
    """The taps "spoiled" that name no piece, oldest first. Raises NotFound.

    Left out are those made good without a name: their run has all its pieces again, from wood cut to spare.
    """
    state, runs = job_state(store, job), {run.id: run for run in planned.sheet.runs}
    ways, pieces = Ways(planned.job, planned.sheet), pieces_of(store, job, planned)
    found = []
    for tap in store.folded(job, _without_name, ("piece spoiled", "undo")):
        run, key = runs.get(tap.body["run"]), (tap.body["mark"], tap.body.get("mirrored", False))
        if run is None:
            continue
        need = sum(line.count for line in run.pieces if (line.mark, line.mirrored) == key)
        if state.run(run.id).cut.get(key, 0) >= need:
            continue
        may_be = tuple(
            piece
            for piece in sorted(pieces, key=lambda one: one.index)
            if (piece.mark, counted_mirrored(piece, run)) == key
            and run in ways.of(piece)
            and not state.pieces.get(piece.index, UNTOUCHED).missing
        )
        if may_be:
            found.append(Unnamed(tap, run, may_be))
    return found


def name_spoiled(
    store: Store,
    job: str,
    planned: Planned,
    tap: str,
    piece: Piece,
    what: str,
    device: str,
    now: Clock = utc_now,
    id_: str = "",
) -> None:
    """Takes down which piece one of those spoiled by this tap was: it is to be made again.

    No count changes: the tap is taken back, the same with the piece's name stands for it, and one without a name for
    what is left of it. Said twice with the same `id_` it counts once. Raises NotFound for a tap that is not open any
    more, StopwrightError for a piece that it cannot have been.
    """
    id_ = id_ or new_id()
    if store.event(f"{id_}-named"):
        return
    one = next((one for one in unnamed_spoils(store, job, planned) if one.tap.id == tap), None)
    if one is None:
        raise NotFound("this spoiled piece is named already, or was taken back", f"job {job}", "reload the page")
    if piece not in one.pieces:
        raise StopwrightError(
            f"{piece.label} cannot be the one: it does not pass that run, or is already being made again",
            f"run {one.run.number}",
            "choose one from the list",
        )
    give_codes_to(store, job, planned, device, now)
    when, body = written(now()), one.tap.body
    named = {**body, "count": 1, "piece": piece.index, "what": in_few_words(what)}
    events = [
        Event(f"{id_}-back", job, "undo", when, device, {"event": tap}),
        Event(f"{id_}-named", job, "piece spoiled", when, device, named),
    ]
    if one.count > 1:
        rest = {**body, "count": one.count - 1}
        events.append(Event(f"{id_}-rest", job, "piece spoiled", when, device, rest))
    store.append(events)


def _without_name(events: Sequence[Event]) -> list[Event]:
    return [tap for tap in standing(events, {"piece spoiled"}) if "piece" not in tap.body]
