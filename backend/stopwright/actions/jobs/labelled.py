"""Pieces by the large print of their labels: a mark and a number, which several jobs may have."""

import re
from contextlib import suppress
from dataclasses import dataclass

from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.listing import job_list
from stopwright.errors import BadInput, NotFound, StopwrightError
from stopwright.intake.job_file import job_from_document
from stopwright.model.codes import encode
from stopwright.store.code_fold import fold_codes, give_codes, number_of
from stopwright.store.log import Store

LOOKED_THROUGH = 40
"""Jobs at hand that are looked through, those worked on last."""


@dataclass(frozen=True, slots=True)
class Labelled:
    """A piece with this print on its label: its code, what it is, the number and the name of its job."""

    code: str
    label: str
    name: str
    job: str
    job_name: str


def label_in(text: str) -> tuple[str, int] | None:
    """The mark and the number that somebody typed from a label, None where it is no such print.

    >>> label_in("A-06"), label_in("a 6"), label_in("p1–12"), label_in("A06"), label_in("00C-006J")
    (('A', 6), ('A', 6), ('P1', 12), ('A', 6), None)
    """
    typed = text.strip().upper()
    found = re.fullmatch(r"(.*\D)[\s–-]*0*(\d{1,6})", typed) or re.fullmatch(r"(.+?)[\s–-]+0*(\d{1,6})", typed)
    mark = re.sub(r"[\s–-]+$", "", found[1]) if found else ""
    return (mark, int(found[2])) if found and mark else None


def labelled(store: Store, text: str) -> list[Labelled]:
    """The pieces of the jobs at hand whose labels have this print, of the job worked on last first.

    Raises NotFound when there is none, StopwrightError when the text is no such print.
    """
    print_ = label_in(text)
    if print_ is None:
        step = "type the code on the label, or its large print, such as A-06"
        raise StopwrightError(f"'{text[:40]}' is on no label", next_step=step)
    jobs = job_list(store).at_hand[:LOOKED_THROUGH]
    found = [one for line in jobs if (one := _in_job(store, line.job, *print_))]
    if not found:
        where = "this job" if len(jobs) == 1 else f"the {len(jobs)} jobs worked on last"
        raise NotFound(f"there is no piece {print_[0]}-{print_[1]:02} in {where}", next_step="type the code beside it")
    return found


def _in_job(store: Store, number: str, mark: str, piece: int) -> Labelled | None:
    with suppress(BadInput):
        job = job_from_document(job_document(store, number).document, f"job {number}")
        part = next((one for one in job.parts if one.mark.upper() == mark and piece <= one.quantity), None)
        if part and piece:
            given = give_codes(store.folded(number, fold_codes), [(one.mark, one.quantity) for one in job.parts])
            code = encode(int(number), number_of(given, part.mark, piece))
            return Labelled(code, f"{part.mark}-{piece:02}", part.name, number, job.name)
    return None
