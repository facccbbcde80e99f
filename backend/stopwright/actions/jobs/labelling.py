"""Labels of a planned job: the sheets that people have, and the PDF of all pieces in the order off the saw."""

import re
from collections.abc import Sequence
from pathlib import Path
from secrets import token_hex
from shutil import rmtree
from tempfile import mkdtemp
from typing import Protocol
from weakref import WeakValueDictionary, finalize

from stopwright.actions.jobs.numbering import JobPiece
from stopwright.actions.jobs.planners import made
from stopwright.actions.jobs.planning import Planned
from stopwright.actions.jobs.searching import Search, Searches
from stopwright.errors import StopwrightError
from stopwright.lengths import Nm, Show, parse_length
from stopwright.model.codes import JOBS
from stopwright.model.stations import Shop
from stopwright.paper.label_grid import A4_SHEET, LETTER_SHEET, Grid, roll
from stopwright.paper.labels import Label, label_sheet_pdf, piece_label, piece_labels, strip_labels
from stopwright.plan.assembling.pieces import list_pieces
from stopwright.plan.timber.panels import panels_of

SHEETS = {"A4": A4_SHEET, "Letter": LETTER_SHEET}


class Counted(Protocol):
    """What is told how many are done."""

    def reached(self, at: int) -> None:
        """So many are done."""


_PAIR = re.compile(r"([\d.]+)[x,]([\d.]+)", re.ASCII)
_ADDRESS = re.compile(r"https?://[^/\s]+", re.IGNORECASE)


def job_labels_pdf(
    planned: Planned,
    job_number: int,
    grid: Grid,
    address: str,
    start: int = 1,
) -> bytes:
    """The PDF of the labels of all pieces of a job that is not in a store, in the order off the saw.

    They are numbered in part-list order. `address` is where this program is reached; `start` the first label of the
    sheet that is still there. Raises StopwrightError when a label is too small for its text or its code, nothing is to
    be printed, or a code would lead nowhere.
    """
    if not 1 <= job_number < JOBS:
        what = f"there is no job {job_number}: their numbers are 1 to {JOBS - 1}"
        raise StopwrightError(what, next_step="take the one that the job has on the bench")
    if not _ADDRESS.match(address):
        step = "write it as a browser shows it: http://stopwright.local:8765"
        raise StopwrightError(f"'{address[:80]}' is not an address", next_step=step)
    pieces = list_pieces(planned.job, planned.sheet)
    labels = piece_labels(pieces, job_number, planned.job.units, planned.shop.show)
    return label_sheet_pdf(labels, grid, address, start)


def labels_of(pieces: Sequence[JobPiece], show: Show) -> tuple[Label, ...]:
    """The labels of pieces with the codes they keep, in the same order; of several jobs each says whose it is."""
    several = len({one.number for one in pieces}) > 1
    return tuple(
        piece_label(one.piece, int(one.number), one.job.units, show, one.job.name if several else "") for one in pieces
    )


def strip_labels_of(pieces: Sequence[JobPiece], shop: Shop) -> tuple[Label, ...]:
    """The labels of the strips of all panels among these pieces, panel by panel."""
    several = len({one.number for one in pieces}) > 1
    panels = {
        (one.number, panel.part.mark): panel
        for one in {piece.number: piece for piece in pieces}.values()
        for panel in panels_of(one.job, shop)
    }
    return tuple(
        label
        for one in pieces
        if (panel := panels.get((one.number, one.piece.mark)))
        for label in strip_labels(one.piece, panel, int(one.number), shop.show, one.job.name if several else "")
    )


class LabelFile:
    """A PDF of labels in a file of its own, which goes when nobody holds this any more."""

    def __init__(self) -> None:
        folder = Path(mkdtemp(prefix="stopwright-labels-"))
        self.path = folder / "labels.pdf"
        finalize(self, rmtree, folder, ignore_errors=True)


def labels_search(labels: tuple[Label, ...], grid: Grid, address: str, start: int) -> Search[LabelFile]:
    """The making of the PDF of labels, beside the pages; the same for all who ask for it now.

    It counts the labels that are drawn, and what it makes is read from the disk: thousands are never in memory here.
    """

    def make(search: Search[LabelFile]) -> LabelFile:
        file = LabelFile()
        made(search, write_labels, search, file.path, labels, grid, address, start)
        return file

    search = _LABELS.begin((labels, grid, address, start), make, of=len(labels))
    if making_of(search) is None:
        _MAKING[token_hex(8)] = search
    return search


def write_labels(search: Counted, path: Path, labels: tuple[Label, ...], grid: Grid, address: str, start: int) -> None:
    """Writes the PDF of labels to a file, and tells the search of them how many are drawn."""
    path.write_bytes(label_sheet_pdf(labels, grid, address, start, search.reached))


def making_of(search: Search[LabelFile]) -> str | None:
    """The name by which `labels_being_made` knows a search."""
    return next((name for name, one in tuple(_MAKING.items()) if one is search), None)


def labels_being_made(name: str) -> Search[LabelFile] | None:
    """The making of labels that has this name; who looks for it waits for it. None when it is gone."""
    search = _MAKING.get(name)
    if search is not None:
        search.asked_for()
    return search


_LABELS = Searches(1)
_MAKING: WeakValueDictionary[str, Search[LabelFile]] = WeakValueDictionary()


def grid_from(text: str) -> Grid:
    """The grid that a word stands for: A4, Letter, a roll "57x32", or five figures of a sheet; all in mm.

    A sheet is "210x297 3x7 63.5x38.1 7.2,15.1 2.5,0": page, columns x rows, label, left and top margin, gaps.

    >>> grid_from("57x32").per_page, grid_from("210x297 3x7 63.5x38.1 7.2,15.1 2.5,0").per_page
    (1, 21)
    """
    if text in SHEETS:
        return SHEETS[text]
    pairs = [_PAIR.fullmatch(word) for word in text.split()]
    if all(pairs) and len(pairs) in (1, 5):
        numbers = [(found[1], found[2]) for found in pairs if found]
        if len(numbers) == 1:
            return roll(_mm(numbers[0][0]), _mm(numbers[0][1]))
        page, count, label, margins, gaps = numbers
        if count[0].isdigit() and count[1].isdigit():
            (width, height), (left, top), (gap_x, gap_y) = (map(_mm, pair) for pair in (label, margins, gaps))
            return Grid(
                _mm(page[0]), _mm(page[1]), int(count[0]), int(count[1]), width, height, left, top, gap_x, gap_y
            )
    raise StopwrightError(
        f"'{text}' is not a sheet of labels",
        next_step='write A4, Letter, a roll such as 57x32, or "210x297 3x7 63.5x38.1 7.2,15.1 2.5,0" in mm',
    )


def _mm(text: str) -> Nm:
    return parse_length(text, "mm")
