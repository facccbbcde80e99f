"""Several jobs worked together: one plan for all of them, each with its own wood, and what of it is one job's."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from stopwright.model.job import Job
from stopwright.model.parts import mark_order
from stopwright.model.stations import Shop
from stopwright.model.whose import is_of, job_for, jobs_joined, lot_for, mark_for, own_name, part_for
from stopwright.plan.begun import Begun, begin
from stopwright.plan.choices import Choices
from stopwright.plan.effort import Effort, Steps
from stopwright.plan.making.measure_first import AskedFirst
from stopwright.plan.plan import AS_THE_JOB_SAYS, plan_begun
from stopwright.plan.run_sheet import Layout, Lot, Remark, Run, RunSheet, ToBuy, Wood
from stopwright.plan.timber.panels import Panel
from stopwright.plan.timber.wood import WoodPlan


@dataclass(frozen=True, slots=True)
class Member:
    """One of the jobs that are worked together: its number, and what was chosen for it.

    `steps` of search in its wood; None: as many as are fit for a person waiting.
    """

    number: str
    job: Job
    choices: Choices = AS_THE_JOB_SAYS
    steps: int | None = None

    @property
    def flow(self) -> str:
        """How it goes through the saw."""
        return self.choices.flow or self.job.flow


def job_together(members: Sequence[Member], name: str) -> Job:
    """The members as one job. Raises StopwrightError for a mark that gets too long."""
    return jobs_joined((job_for(one.number, one.job) for one in members), name)


def plan_together(
    members: Sequence[Member], name: str, shop: Shop, choices: Choices = AS_THE_JOB_SAYS, effort: Effort | None = None
) -> RunSheet:
    """The run sheet of jobs that are worked as one: what needs the same stops is one run, whosever pieces they are.

    The boards of each are laid out as they are for that job alone, so every board, strip and piece is one job's, and
    a job that leaves finds its wood as it would have cut it. Its marks are those of `job_for`. All go the same way
    through the saw. `choices` say what stands on the machines, `effort` is for the order alone.
    """
    begun = [_among(one.number, _begun(one, shop)) for one in members]
    sheet = plan_begun(_joined(begun, name), shop, replace(choices, flow=members[0].choices.flow), effort)
    said = ", ".join(f"#{one.number} is {one.job.name}" for one in members)
    return replace(sheet, notes=(f"Whose it is stands before every mark: {said}.", *sheet.notes))


def whose(run: Run, members: Iterable[str]) -> tuple[str, ...]:
    """The numbers of the jobs, of `members`, that have pieces inside what a run works."""
    return tuple(one for one in members if any(is_of(one, pieces.mark) for pieces in run.pieces))


def own_run(run: Run, number: str) -> Run:
    """The run as one of its jobs has it: its pieces and its lots alone, under its own marks.

    Its id is the one that the run has in a plan of the job alone where that sets the same stops. Lots keep the names
    that are chalked on them.
    """
    return replace(
        run,
        lot=own_name(number, run.lot),
        pieces=tuple(replace(one, mark=own_name(number, one.mark)) for one in run.pieces if is_of(number, one.mark)),
        takes=tuple(_own_lots(run.takes, number)),
        gives=tuple(_own_lots(run.gives, number)),
    )


def own_sheet(sheet: RunSheet, members: Sequence[Member], number: str) -> RunSheet:
    """What of a sheet of several jobs is one job's: its runs, numbered as there, its boards, its own marks."""
    place = next(place for place, one in enumerate(members) if one.number == number)
    first = sum(len(one.job.stock) for one in members[:place])
    rows = range(first, first + len(members[place].job.stock))
    runs = [run for run in sheet.runs if whose(run, [number])]
    ids = {run.id: own_run(run, number).id for run in runs}
    return replace(
        sheet,
        job=members[place].job.name,
        runs=tuple(
            replace(own_run(run, number), after=tuple(ids[id_] for id_ in run.after if id_ in ids)) for run in runs
        ),
        day=sheet.day.of_job(number, ids) if sheet.day else None,
        wood=replace(
            sheet.wood,
            layouts=tuple(_own_layouts(sheet.wood.layouts, number, rows)),
            to_buy=tuple(
                replace(one, mark=own_name(number, one.mark)) for one in sheet.wood.to_buy if is_of(number, one.mark)
            ),
        ),
        hardware=tuple(
            replace(one, name=own_name(number, one.name))
            for one in sheet.hardware
            if one.name.startswith(lot_for(number, ""))
        ),
        glue_ups=tuple(one.of_its_own() for one in sheet.glue_ups if one.whose == number),
        tenons=tuple(
            replace(one, joint=own_name(number, one.joint)) for one in sheet.tenons if is_of(number, one.joint)
        ),
    )


def _begun(member: Member, shop: Shop) -> Begun:
    return begin(member.job, shop, member.choices, None if member.steps is None else Steps(member.steps))


def _own_lots(lots: Iterable[Lot], number: str) -> Iterator[Lot]:
    for lot in lots:
        becomes = tuple((own_name(number, mark), count) for mark, count in lot.becomes if is_of(number, mark))
        if becomes or (not lot.becomes and lot.name.startswith(lot_for(number, ""))):
            yield replace(lot, becomes=becomes)


def _own_layouts(layouts: Iterable[Layout], number: str, rows: range) -> Iterator[Layout]:
    for layout in layouts:
        if layout.stock in rows:
            placements = tuple(replace(one, mark=own_name(number, one.mark)) for one in layout.placements)
            yield replace(layout, stock=layout.stock - rows.start, placements=placements)


def _among(number: str, begun: Begun) -> Begun:
    """What was begun of a job as it stands among others."""
    parts = {part.mark: part_for(number, part) for part in begun.parts}
    waiting = (
        AskedFirst(lot_for(number, one.words), tuple(mark_for(number, mark) for mark in one.waits), one.is_dry)
        for one in begun.to_measure
    )
    return Begun(
        job_for(number, begun.job),
        job_for(number, begun.whole),
        tuple(parts.values()),
        tuple(_panel(number, panel) for panel in begun.panels),
        WoodPlan(
            _wood(number, begun.wood.wood),
            tuple(replace(one, part=part_for(number, one.part)) for one in begun.wood.rough),
            tuple(replace(one, part=part_for(number, one.part)) for one in begun.wood.sawn),
            tuple(_remarks(number, begun.wood.warnings)),
            begun.wood.stock,
        ),
        tuple(replace(one, mark=mark_for(number, one.mark), cut=mark_for(number, one.cut)) for one in begun.moving),
        tuple(replace(one, name=lot_for(number, one.name)) for one in begun.hardware),
        tuple(_remarks(number, begun.faults)),
        tuple(_remarks(number, begun.of_assembly)),
        tuple(_remarks(number, begun.too_wide)),
        tuple(_remarks(number, begun.of_units)),
        tuple(waiting),
        ((number, job_for(number, begun.job)),),
    )


def _panel(number: str, panel: Panel) -> Panel:
    own = tuple(part_for(number, strip) for strip in panel.own)
    return Panel(part_for(number, panel.part), part_for(number, panel.strip), panel.strips, own)


def _wood(number: str, wood: Wood) -> Wood:
    def bought(one: ToBuy) -> ToBuy:
        return replace(one, mark=mark_for(number, one.mark), lot=lot_for(number, one.lot))

    layouts = (
        replace(
            layout,
            whose=number,
            placements=tuple(replace(one, mark=mark_for(number, one.mark)) for one in layout.placements),
        )
        for layout in wood.layouts
    )
    return replace(wood, layouts=tuple(layouts), to_buy=tuple(map(bought, wood.to_buy)))


def _remarks(number: str, remarks: Iterable[Remark]) -> Iterator[Remark]:
    """What is said of a job by itself, with its own marks, said to be of this job."""
    return (Remark(lot_for(number, one.about), one.text) for one in remarks)


def _joined(begun: Sequence[Begun], name: str) -> Begun:
    woods = [one.wood for one in begun]
    firsts = accumulate((len(wood.stock) for wood in woods), initial=0)
    layouts = tuple(
        replace(layout, stock=layout.stock + first)
        for wood, first in zip(woods, firsts, strict=False)
        for layout in wood.wood.layouts
    )
    parts = sorted((part for one in begun for part in one.parts), key=lambda part: mark_order(part.mark))
    return Begun(
        jobs_joined((one.job for one in begun), name),
        jobs_joined((one.whole for one in begun), name),
        tuple(parts),
        tuple(panel for one in begun for panel in one.panels),
        WoodPlan(
            Wood(
                sum(wood.wood.boards_used for wood in woods),
                sum(wood.wood.least_possible for wood in woods),
                all(wood.wood.proven for wood in woods),
                layouts,
                tuple(one for wood in woods for one in wood.wood.to_buy),
                sum(wood.wood.handlings for wood in woods),
            ),
            tuple(one for wood in woods for one in wood.rough),
            tuple(one for wood in woods for one in wood.sawn),
            tuple(one for wood in woods for one in wood.warnings),
            tuple(row for wood in woods for row in wood.stock),
        ),
        tuple(one for each in begun for one in each.moving),
        tuple(one for each in begun for one in each.hardware),
        tuple(one for each in begun for one in each.faults),
        tuple(one for each in begun for one in each.of_assembly),
        tuple(one for each in begun for one in each.too_wide),
        tuple(one for each in begun for one in each.of_units),
        tuple(one for each in begun for one in each.to_measure),
        tuple(one for each in begun for one in each.assembled),
    )
