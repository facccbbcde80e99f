"""Photos of a set-up as they come from a phone, made fit for the log."""

from base64 import b64decode, b64encode
from collections.abc import Mapping
from typing import Any

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.keeping import members_of
from stopwright.errors import BadInput, StopwrightError
from stopwright.intake.apart import read_apart
from stopwright.store.log import Store

MOST_PICTURES = 60
"""So many of a job, each of at most `GREATEST_PICTURE` bytes, go into its backups and its whole-job file."""


def read_picture(body: Mapping[str, Any]) -> dict[str, Any]:
    """The body of a "run pictured" with its photo made anew: small, upright, nothing in it but what is to be seen.

    Whatever a phone has written into the photo, where and when it was taken among it, does not reach the log. It is
    opened in a process of its own. Raises StopwrightError for what is no photo.
    """
    typed = body.get("jpeg")
    try:
        photo = b64decode(typed, validate=True) if isinstance(typed, str) else b""
    except ValueError:
        photo = b""
    try:
        made = read_apart(_make_anew, photo, file="the photo")
    except BadInput as error:
        step = "take it with a lower resolution"
        raise StopwrightError("this photo takes too much time or memory to open", next_step=step) from error
    return {**body, "jpeg": b64encode(made).decode()}


def refuse_more(store: Store, job: str, so_far: int = 0) -> None:
    """Raises StopwrightError where a job, or one of several worked together, has as many pictures as it may have.

    `so_far` are those that come with the same word and are not counted in the log yet.
    """
    for one in members_of(store, job) or (job,):
        held = sum(note.is_picture for run in job_state(store, one).runs.values() for note in run.notes)
        if held + so_far >= MOST_PICTURES:
            raise StopwrightError(f"this job has {MOST_PICTURES} photos", next_step="remove one that is not needed")


def _make_anew(photo: bytes) -> bytes:
    # The library for pictures comes into that process only.
    from stopwright.actions.floor.photos import small_and_silent

    return small_and_silent(photo)
