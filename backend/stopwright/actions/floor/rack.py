"""The rack: which boards a job takes, and what a board, or a part that a cut has to fit, really measures."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from stopwright.actions.floor.working import job_state
from stopwright.actions.jobs.editing import save_section
from stopwright.actions.jobs.keeping import job_document
from stopwright.actions.jobs.planning import Planned
from stopwright.actions.jobs.things_editing import change_line
from stopwright.errors import NotFound, StopwrightError
from stopwright.lengths import Nm, format_exact, format_length
from stopwright.model.joints import Side
from stopwright.model.parts import MadePart, Part, free_marks
from stopwright.plan.making.expand import made_by
from stopwright.plan.operations.roles import BLADE_HEIGHT
from stopwright.plan.run_sheet import Layout, Run
from stopwright.store.log import Store

BEFORE_THE_CUTS = ("joint", "plane")
"""Work after which a board can still be laid out anew."""


@dataclass(frozen=True, slots=True)
class Fetch:
    """Boards or sheets to fetch: their layout, its place in the sheet, and how their row of stock is labelled."""

    place: int
    layout: Layout
    label: str


def boards_to_fetch(planned: Planned) -> list[Fetch]:
    """Every board and sheet the job takes, in the order of the numbers to chalk on them."""
    stock = planned.job.stock
    return [Fetch(n, one, stock[one.stock].label) for n, one in enumerate(planned.sheet.wood.layouts)]


def parts_to_measure(planned: Planned) -> list[tuple[Part, tuple[str, ...]]]:
    """Every part that some cut has to fit, that is turned over at a saw, or from whose thickness sizes are worked out.

    In the order of the job, each with the marks of those cuts, and of the things to which it belongs.
    """
    cuts: dict[str, list[str]] = {}
    turned_over = set(_turned_over(planned.sheet.runs))
    for cut in planned.job.cuts:
        by_its_own = (mark for mark in cut.turned_over() if (cut.mark, mark) in turned_over)
        for mark in dict.fromkeys((*cut.has_to_fit(), *by_its_own)):
            cuts.setdefault(mark, []).append(cut.mark)
    for lot in made_by(planned.job).lots:
        for mark in lot.by_thickness:
            cuts.setdefault(mark, []).append(lot.mark)
    return [(part, tuple(cuts[part.mark])) for part in planned.job.parts if part.mark in cuts]


def _turned_over(runs: Iterable[Run]) -> Iterator[tuple[str, str]]:
    """Cuts with the parts that lie with their back on the table of a saw, or at its fence, for them."""
    for run in runs:
        if any(stop.sets == BLADE_HEIGHT.name for stop in run.stops):
            for one in run.pieces:
                if any(lying.down is Side.BACK or lying.reference == Side.BACK for lying in one.each):
                    yield from ((cut, one.mark) for cut in run.cuts)


def measure_part(store: Store, job: str, planned: Planned, mark: str, thickness: Nm, device: str) -> None:
    """Takes down how thick a part really is, nm: what has to fit it is set accordingly from now on.

    Raises NotFound for a part that no cut has to fit, ChangedMeanwhile when the list was changed after it was planned,
    and StopwrightError for what is no thickness of this part.
    """
    part = next((part for part, _ in parts_to_measure(planned) if part.mark == mark), None)
    made = isinstance(part, MadePart)
    listed = job_document(store, job).document.get("part")
    rows: list[Any] = list(listed) if isinstance(listed, list) else []
    marks = free_marks([str(row.get("mark") or "") if isinstance(row, Mapping) else "" for row in rows])
    if part is None or not (made or mark in marks):
        raise NotFound(f"nothing has to fit part {mark}", f"job {job}", "reload the wood page")
    if not part.thickness // 2 <= thickness <= 2 * part.thickness:
        raise StopwrightError(
            f"{format_length(thickness, planned.shop.show)} is far from the "
            f"{format_length(part.thickness, planned.shop.show)} of the part list",
            next_step="measure again, or correct the list",
        )
    text = format_exact(thickness, planned.job.lengths)
    if made:
        change_line(store, job, mark, {"measured": text}, planned.version, device)
        return
    place = marks.index(mark)
    row = {**rows[place], "measured": text}
    save_section(store, job, {"part": [*rows[:place], row, *rows[place + 1 :]]}, planned.version, device)


def is_cut(store: Store, job: str, planned: Planned) -> bool:
    """Whether anything was ripped or crosscut, so that the layouts must stay as they are."""
    state = job_state(store, job)
    saw = [state.run(run.id) for run in planned.sheet.runs if run.work not in BEFORE_THE_CUTS]
    return any(run.done or any(run.cut.values()) for run in saw)


def measure_board(
    store: Store,
    job: str,
    planned: Planned,
    place: int,
    size: tuple[Nm, Nm, Nm],
    device: str,
    flaw: tuple[Nm, Nm] | None = None,
    bow: Nm | None = None,
) -> None:
    """Takes down what one board of a layout measures, nm, how far it is bowed, and which stretch must not be used.

    It becomes a row of its own in the job's wood, so the layouts follow at once; its row holds one less. Raises
    NotFound for a layout that is not there, ChangedMeanwhile when the wood was changed after it was planned, and
    StopwrightError when it has been cut or the flaw lies outside.
    """
    layouts = planned.sheet.wood.layouts
    if not 0 <= place < len(layouts):
        raise NotFound("there are no such boards", f"job {job}", "reload the rack")
    if is_cut(store, job, planned):
        raise StopwrightError(
            "some of the wood is cut already, so the layouts stay as they are",
            next_step="change the wood on the bench, or name what went wrong with a piece",
        )
    if not all(size):
        raise StopwrightError("a board cannot measure 0", next_step="measure length, width and thickness")
    if bow and planned.job.stock[layouts[place].stock].is_sheet:
        raise StopwrightError("a sheet lies flat, so its bow does not count", next_step="leave the bow empty")
    if flaw and not 0 <= flaw[0] < flaw[1] <= size[0]:
        raise StopwrightError(
            "the stretch not to be used lies outside the board",
            next_step="measure from one end to where it begins and where it ends",
        )
    row = layouts[place].stock
    unit = planned.job.lengths
    stock = job_document(store, job).document.get("stock")
    rows: list[Any] = list(stock) if isinstance(stock, list) else []
    if row >= len(rows) or not isinstance(rows[row], Mapping):
        raise NotFound("the wood of the job has changed", f"job {job}", "reload the rack")
    save_section(store, job, {"stock": _split(rows, row, size, flaw, bow, unit, planned)}, planned.version, device)


def _split(
    rows: list[Any],
    row: int,
    size: tuple[Nm, Nm, Nm],
    flaw: tuple[Nm, Nm] | None,
    bow: Nm | None,
    unit: str,
    planned: Planned,
) -> list[Any]:
    """The rows with one board of a row measured: that row holds one less, and goes where it held just that one.

    What its row said of its bow, and what not to use, holds for it too unless it was typed.
    """
    quantity = planned.job.stock[row].quantity
    one = {**rows[row], "quantity": 1, "label": rows[row].get("label") or "measured"}
    one |= {
        field: format_exact(value, unit) for field, value in zip(("length", "width", "thickness"), size, strict=True)
    }
    if flaw:
        one["zone"] = [{"start": format_exact(flaw[0], unit), "end": format_exact(flaw[1], unit)}]
    if bow is not None:
        one["bow"] = format_exact(bow, unit)
    if quantity == 1:
        return [*rows[:row], one, *rows[row + 1 :]]
    left = rows[row] if quantity is None else {**rows[row], "quantity": quantity - 1}
    return [*rows[:row], left, *rows[row + 1 :], one]
