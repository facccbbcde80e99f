"""Pieces with the codes they keep: given when labels are first made, and never to another piece afterwards."""

from collections import deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.planning import Planned
from stopwright.errors import BadInput, NotFound, StopwrightError
from stopwright.intake.job_file import job_from_document
from stopwright.model.codes import PIECES, SHELF, decode, encode
from stopwright.model.job import Job
from stopwright.model.whose import job_for, own_name
from stopwright.plan.assembling.pieces import Piece, list_pieces, pieces_of_jobs
from stopwright.plan.run_sheet import RunSheet
from stopwright.store.code_fold import NONE_GIVEN, Given, fold_codes, give_codes, number_of
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.log import Store

PORTION = 2000
"""Numbers of pieces that come to the sorting page at a time, the first so many with the page itself."""


def pieces_of(store: Store, job: str, planned: Planned) -> tuple[Piece, ...]:
    """Every piece in the order off the saw, `index` being the number behind its code.

    Until codes are given these are the numbers that would be given now, in part-list order. The last lists are kept:
    a page that comes in portions asks for its list again and again.
    """
    given = give_codes(store.folded(job, fold_codes), _parts(planned.job))
    for known, sheet, codes, listed in tuple(_LISTED):
        if sheet is planned.sheet and (known, codes) == (planned.job, given):
            return listed
    pieces = tuple(
        replace(piece, index=number_of(given, piece.mark, piece.number))
        for piece in list_pieces(planned.job, planned.sheet)
    )
    _LISTED.append((planned.job, planned.sheet, given, pieces))
    return pieces


_LISTED: deque[tuple[Job, RunSheet, Given, tuple[Piece, ...]]] = deque(maxlen=4)


@dataclass(frozen=True, slots=True)
class JobPiece:
    """A piece with the job that it belongs to, and that job's number."""

    number: str
    job: Job
    piece: Piece


def portions_of(pieces: Sequence[Piece]) -> int:
    """In how many portions the pieces of a job come to the sorting page; a piece stays in its own whatever is planned.

    They are told apart by the numbers that stand behind the codes.
    """
    return 1 + max((piece.index for piece in pieces), default=0) // PORTION


def pieces_of_each(store: Store, job: str, planned: Planned) -> tuple[JobPiece, ...]:
    """As `pieces_of`, of several jobs that are worked together all pieces in the order off the saw, each its job's."""
    if not planned.members:
        return tuple(JobPiece(job, planned.job, piece) for piece in pieces_of(store, job, planned))
    given = {one.number: give_codes(store.folded(one.number, fold_codes), _parts(one.job)) for one in planned.members}
    jobs = [job_for(one.number, one.job) for one in planned.members]
    found = []
    for place, piece in pieces_of_jobs(jobs, planned.sheet):
        member = planned.members[place]
        mark = own_name(member.number, piece.mark)
        index = number_of(given[member.number], mark, piece.number)
        found.append(JobPiece(member.number, member.job, replace(piece, mark=mark, index=index)))
    return tuple(found)


def give_codes_to(store: Store, job: str, planned: Planned, device: str, now: Clock = utc_now) -> None:
    """Takes down the codes of all pieces of the job; nothing new when all have theirs.

    From here on a quantity that changes moves no other piece's code. Raises StopwrightError when there are too many.
    """
    for number, one in [(one.number, one.job) for one in planned.members] or [(job, planned.job)]:
        _give(store, number, one, device, now)


def give_codes_at_first_tap(store: Store, job: str, device: str, now: Clock = utc_now) -> None:
    """As `give_codes_to`, where none are given yet: from the first tap about a piece its number is its own.

    Nothing where the part list cannot be read just now: then there is no piece to be told apart.
    """
    if not are_given(store, job):
        with suppress(BadInput):
            _give(store, job, job_from_document(job_document(store, job).document, f"job {job}"), device, now)


def _give(store: Store, job: str, of: Job, device: str, now: Clock) -> None:
    given = store.folded(job, fold_codes)
    after = give_codes(given, _parts(of))
    if after == given:
        return
    if sum(block.count for blocks in after.values() for block in blocks) > PIECES:
        raise StopwrightError(
            f"a job cannot label more than {PIECES} pieces", f"job {job}", "do the rest in a job of its own"
        )
    parts = [{"mark": mark, "quantity": quantity} for mark, quantity in _parts(of)]
    store.append([Event(new_id(), job, "codes given", written(now()), device, {"parts": parts})])


def are_given(store: Store, job: str) -> bool:
    """True once any labels of the job were made."""
    return store.folded(job, fold_codes) != NONE_GIVEN


def find_piece(store: Store, plan_of: Callable[[str], Planned], text: str) -> tuple[str, Planned, Piece]:
    """Job, plan and piece of a code as it was typed or read; `plan_of` gives the plan of a job.

    Raises NotFound, saying what is wrong with the code.
    """
    try:
        number, index = decode(text)
    except StopwrightError as error:
        raise NotFound(error.what, text[:40], error.next_step) from error
    if number == SHELF:
        raise NotFound("this is the label of an offcut", text[:40], "look for it on the shelf page")
    job = str(number)
    planned = plan_of(job)
    piece = next((one for one in pieces_of(store, job, planned) if one.index == index), None)
    if piece is None:
        raise NotFound("there is no such piece", f"job {job}", "check the code on the label; the part list has changed")
    return job, planned, piece


def code_of(job: str, piece: Piece) -> str:
    """The code on the label of a piece."""
    return encode(int(job), piece.index)


def _parts(job: Job) -> list[tuple[str, int]]:
    return [(part.mark, part.quantity) for part in job.parts]
