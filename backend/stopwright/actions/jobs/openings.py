"""Openings and dry frames as measured, on bench or phone: taken down with the thing that is cut to them."""

from collections.abc import Mapping
from typing import Any

from stopwright.actions.jobs.editing import save_section
from stopwright.actions.jobs.joints_editing import rows_of
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.planning import Planned
from stopwright.errors import NotFound, StopwrightError
from stopwright.intake.draft import read_draft
from stopwright.intake.keys import Document
from stopwright.lengths import Nm, format_exact, format_length
from stopwright.model.things import MEASURED, Thing
from stopwright.plan.making.known import THINGS
from stopwright.plan.making.measure_first import ToMeasure, dry_frames_of, openings_of
from stopwright.store.log import Store

FARTHEST_OFF = 4
"""An opening is refused where it is a quarter larger or smaller than drawn: that is a slip of the finger."""


def openings_to_measure(planned: Planned) -> tuple[ToMeasure, ...]:
    """Every opening that something of the job is made for, measured or not."""
    return openings_of(planned.job)


def frames_to_measure(planned: Planned) -> tuple[ToMeasure, ...]:
    """Every frame that is measured when it is put together dry, measured or not."""
    return dry_frames_of(planned.job)


def measure_dry_frame(
    store: Store, job: str, planned: Planned, mark: str, readings: Mapping[str, tuple[Nm, ...]], device: str
) -> None:
    """Takes down what the lights of frames measure that were put together dry; nm.

    `mark` is that of equal frames: the smallest light of all of them counts. Raises NotFound where none of them is
    measured so, ChangedMeanwhile where the job was changed after it was planned, and StopwrightError for what is far
    from what was worked out.
    """
    frame = next((one for one in dry_frames_of(planned.job) if one.mark == mark), None)
    document = job_document(store, job).document
    place = _place_of(document, frame.thing.mark) if frame else None
    if frame is None or place is None:
        raise NotFound(f"{mark[:40]} is not measured dry", f"job {job}", "look at the wood again")
    given = {name: several for name, several in readings.items() if several and name in dict(frame.drawn)}
    if not given:
        raise StopwrightError("nothing was measured", next_step="write what a light measures, clear from wood to wood")
    table, row = place
    rows: list[Any] = [dict(one) for one in rows_of(document, table)]
    for number in (None,) if frame.mark == frame.thing.mark else frame.numbers:
        rows[row]["opening"] = _with_opening(rows[row], number, given, planned.job.lengths)
    _refuse_what_cannot_be({**document, table: rows})
    save_section(store, job, {table: rows}, planned.version, device)


def _refuse_what_cannot_be(document: Mapping[str, Any]) -> None:
    """Raises StopwrightError where nothing can be planned with what was measured."""
    faults = read_draft(document).faults
    if faults:
        raise StopwrightError(faults[0].what, next_step=faults[0].next_step)


def measure_opening(
    store: Store,
    job: str,
    planned: Planned,
    mark: str,
    number: int | None,
    readings: Mapping[str, tuple[Nm, ...]],
    device: str,
) -> None:
    """Takes down what was measured of the opening of one thing of the batch, or of all of them; nm.

    Raises NotFound for a thing that is not made for an opening, ChangedMeanwhile where the job was changed after it was
    planned, and StopwrightError for what is none of its measures, or far from what was drawn.
    """
    thing = next((one for one in planned.job.things if one.mark == mark and one.is_fitted), None)
    document = job_document(store, job).document
    place = _place_of(document, mark)
    if thing is None or place is None:
        raise NotFound(f"{mark[:40]} is not made for an opening", f"job {job}", "reload the wood page")
    given = {name: several for name, several in readings.items() if several}
    if not given:
        raise StopwrightError("nothing was measured", next_step="write what the opening measures")
    whole = thing.count * planned.job.units
    if number is not None and not 1 <= number <= whole:
        raise StopwrightError(f"there is no opening {number}, only {whole} in the batch", next_step="count from 1")
    for name, several in given.items():
        _refuse_far_off(thing, name, several, planned)
    table, row = place
    rows: list[Any] = [dict(one) for one in rows_of(document, table)]
    rows[row]["opening"] = _with_opening(rows[row], number, given, planned.job.lengths)
    save_section(store, job, {table: rows}, planned.version, device)


def _refuse_far_off(thing: Thing, name: str, readings: tuple[Nm, ...], planned: Planned) -> None:
    if name not in thing.measured or name not in MEASURED:
        raise StopwrightError(f"a {thing.called} has no {name} that is measured", next_step=f"leave the {name} out")
    drawn: Nm = getattr(thing, name)
    for one in readings:
        if abs(one - drawn) * FARTHEST_OFF > drawn:
            here, there = (format_length(size, planned.shop.show) for size in (one, drawn))
            raise StopwrightError(
                f"{here} is far from the {there} that was drawn", next_step="measure again, or change what was drawn"
            )


def _with_opening(
    row: Mapping[str, Any], number: int | None, given: Mapping[str, tuple[Nm, ...]], unit: str
) -> list[Document]:
    """The openings of a thing with one measured anew; what was measured of it otherwise stays."""
    listed = row.get("opening", [])
    openings = [dict(one) for one in listed if isinstance(one, Mapping)] if isinstance(listed, list) else []
    told = {name: [format_exact(one, unit) for one in several] for name, several in given.items()}
    place = next((n for n, one in enumerate(openings) if one.get("number") == number), None)
    if place is None:
        return [*openings, ({} if number is None else {"number": number}) | told]
    openings[place] |= told
    return openings


def _place_of(document: Mapping[str, Any], mark: str) -> tuple[str, int] | None:
    places = ((name, n, row) for name in THINGS for n, row in enumerate(rows_of(document, name)))
    return next(((name, n) for name, n, row in places if str(row.get("mark")) == mark), None)
