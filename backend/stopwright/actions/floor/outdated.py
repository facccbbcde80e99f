"""Pieces that were cut before the job came to ask for something else: by how much they miss, kept or made again."""

import json
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Any, get_args, get_origin

from stopwright.actions.floor.sorting import UNTOUCHED
from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.editing import save_section
from stopwright.actions.jobs.joints_editing import rows_of
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.numbering import give_codes_to, pieces_of
from stopwright.actions.jobs.planning import Planned
from stopwright.actions.jobs.things_editing import change_line
from stopwright.errors import BadInput, NotFound
from stopwright.intake.job_file import job_from_document
from stopwright.intake.keys import is_length, keys_of
from stopwright.lengths import Nm, Show, SignedNm, format_difference, format_exact, format_length
from stopwright.model.cuts import Cut
from stopwright.model.job import Job
from stopwright.model.parts import MadePart, Part, free_marks
from stopwright.plan.making.expand import made_by
from stopwright.plan.operations.known import OPERATIONS
from stopwright.plan.stations.cut_fit import room_for
from stopwright.store.cut_fold import OF_CUTS, CutWhile, fold_cuts
from stopwright.store.events import Clock, Event, new_id, utc_now, written
from stopwright.store.job_fold import SAVES, documents_of
from stopwright.store.log import Store

GET_THEIR_LENGTH = ("crosscut", "mitre")
"""Works after which a piece has all of its size."""
SIZE = ("length", "width", "thickness")
BESIDES = ("play", "opening", "opening_across", "gap")
"""Lengths of a cut that are not cut: what goes in has to have them."""


@dataclass(frozen=True, slots=True)
class Differs:
    """One measure of a piece as it was cut and as the job asks for it now, nm. `of` is the cut, "" for its size."""

    of: str
    field: str
    label: str
    was: Nm
    now: Nm

    @property
    def off(self) -> SignedNm:
        """As it is, less what is wanted."""
        return self.was - self.now

    def words(self, show: Show) -> str:
        """What it is, what is wanted, and by how much it misses."""
        was, now = format_length(self.was, show), format_length(self.now, show)
        over = "too much" if self.off > 0 else "too little"
        cut = f"{self.of}, " if self.of else ""
        return f"{cut}{self.label} {was}, now {now}: {format_difference(abs(self.off), show)} {over}"


@dataclass(frozen=True, slots=True)
class Outdated:
    """Pieces of a mark that one run counted and that no longer fit. `part` None: the job has none of that mark now."""

    cut: CutWhile
    part: Part | None
    differs: tuple[Differs, ...]

    @property
    def key(self) -> str:
        """What names them in a form."""
        return f"{self.cut.run}.{self.cut.version}.{int(self.cut.mirrored)}.{self.cut.mark}"

    @property
    def too_small(self) -> bool:
        """Whether something of them is too short, narrow or thin, so that no cut puts it right."""
        return any(not one.of and one.off < 0 for one in self.differs)


def outdated(store: Store, job: str, planned: Planned) -> tuple[Outdated, ...]:
    """Every lot of pieces that was cut to a size, or with a cut, that the job does not ask for any more."""
    found = []
    cuts = [cut for cut in store.folded(job, fold_cuts, OF_CUTS) if cut.version != planned.version]
    jobs = _jobs_at(store, job, {cut.version for cut in cuts})
    for cut in cuts:
        then = jobs.get(cut.version)
        before = _part(then, cut.mark) if then else None
        if then is None or before is None or not cut.work:
            continue
        now = _part(planned.job, cut.mark)
        differs = tuple(_differs(cut.work, before, now, then, planned.job)) if now else ()
        if differs or (now is None and cut.work in GET_THEIR_LENGTH):
            found.append(Outdated(cut, now, differs))
    return tuple(found)


def make_again(
    store: Store, job: str, planned: Planned, key: str, device: str, now: Clock = utc_now, id_: str = ""
) -> int:
    """Takes down that these pieces are put aside, each by its name, so that just they are made again; how many.

    Raises NotFound where they fit by now, or were put aside already.
    """
    lot = _lot(store, job, planned, key)
    give_codes_to(store, job, planned, device, now)
    states = job_state(store, job).pieces
    mine = [
        piece
        for piece in sorted(pieces_of(store, job, planned), key=lambda one: one.index)
        if piece.mark == lot.cut.mark and (not lot.cut.mirrored or piece.hand == "left")
    ]
    whole = [piece for piece in mine if not states.get(piece.index, UNTOUCHED).missing][: lot.cut.count]
    what = "; ".join(one.words(planned.shop.show) for one in lot.differs)[:400]
    body = {"run": lot.cut.run, "mark": lot.cut.mark, "count": 1, "counted": True, "outdated": True, "what": what}
    body |= {"mirrored": True} if lot.cut.mirrored else {}
    id_ = id_ or new_id()
    events = [
        Event(f"{id_}-{number}", job, "piece spoiled", written(now()), device, body | {"piece": piece.index})
        for number, piece in enumerate(whole)
    ]
    store.append(events)
    return len(events)


def keep_as_cut(store: Store, job: str, planned: Planned, key: str, device: str, now: Clock = utc_now) -> None:
    """Gives the job the size, and the cuts, that these pieces have; what a thing makes stays changed by hand.

    Raises NotFound where they fit by now, or where they have a cut that is written for several parts.
    """
    lot = _lot(store, job, planned, key)
    if not can_be_kept(lot, planned.job):
        raise NotFound("these cannot be kept as they are", lot.cut.mark, "make them again")
    unit = planned.job.lengths
    for of in dict.fromkeys(one.of for one in lot.differs):
        told = {one.field: format_exact(one.was, unit) for one in lot.differs if one.of == of}
        base = job_document(store, job).version
        if of or isinstance(lot.part, MadePart):
            change_line(store, job, of or lot.cut.mark, told, base, device, now)
            continue
        rows: list[Any] = [dict(row) for row in rows_of(job_document(store, job).document, "part")]
        place = free_marks([str(row.get("mark") or "") for row in rows]).index(lot.cut.mark)
        rows[place] |= told
        save_section(store, job, {"part": rows}, base, device, now)


def can_be_kept(lot: Outdated, job: Job) -> bool:
    """Whether the job can be given what these pieces are: a cut only where a thing makes it, for this part alone."""
    made = {cut.mark: cut.parts for cut in made_by(job).cuts}
    cuts = {one.of for one in lot.differs if one.of}
    alone = all(made.get(of, ()) == (lot.cut.mark,) for of in cuts) and all(one.field for one in lot.differs)
    return lot.part is not None and bool(lot.differs) and alone


def _lot(store: Store, job: str, planned: Planned, key: str) -> Outdated:
    lot = next((one for one in outdated(store, job, planned) if one.key == key), None)
    if lot is None or lot.part is None:
        raise NotFound("these pieces are no longer out of date", f"job {job}", "reload the page")
    return lot


def _differs(work: str, before: Part, now: Part, then: Job, job: Job) -> Iterator[Differs]:
    if work in GET_THEIR_LENGTH:
        for field in SIZE:
            if getattr(before, field) != getattr(now, field):
                yield Differs("", field, field, getattr(before, field), getattr(now, field))
        return
    kinds = OPERATIONS[work].asked if work in OPERATIONS else ()
    was = {cut.mark: cut for cut in then.cuts if type(cut) in kinds and before.mark in cut.parts}
    for cut in job.cuts:
        if cut.mark in was and now.mark in cut.parts and type(cut) is type(was[cut.mark]):
            old, new = _measures(was[cut.mark], then), _measures(cut, job)
            for label in (label for label in old if label in new and old[label][1] != new[label][1]):
                yield Differs(cut.mark, new[label][0], label, old[label][1], new[label][1])


def _measures(cut: Cut, job: Job) -> dict[str, tuple[str, Nm]]:
    """Every length of a cut by its label, with its field; several places are told apart, and have no field."""
    found: dict[str, tuple[str, Nm]] = {}
    words = {field.name: field.metadata["words"].label.lower() for field in fields(cut)}
    for key in keys_of(type(cut)).values():
        value = getattr(cut, key.field)
        if get_origin(key.kind) is tuple and is_length(get_args(key.kind)[0]):
            found |= {f"{words[key.field]} ({n})": ("", one) for n, one in enumerate(value, start=1)}
        elif is_length(key.kind) and value is not None and key.field not in BESIDES:
            found[words[key.field]] = (key.field, value)
    if getattr(cut, "fits", "") and getattr(cut, "width", None) is None:
        found[words["width"]] = ("width", room_for(cut.fits, cut.play, None, job))  # type: ignore[attr-defined]
    return found


def _part(job: Job, mark: str) -> Part | None:
    return next((part for part in job.parts if part.mark == mark), None)


def _jobs_at(store: Store, job: str, versions: Collection[int]) -> dict[int, Job | None]:
    """The job as each version of it said; None where it could not be read, left out where it is not there."""
    documents = documents_of(store.events(job, kinds=SAVES), versions) if versions else {}
    return {version: _read(json.dumps(document, sort_keys=True)) for version, document in documents.items()}


@lru_cache(maxsize=64)
def _read(document: str) -> Job | None:
    told: Mapping[str, Any] = json.loads(document)
    try:
        return job_from_document(told, "job")
    except BadInput:
        return None
