"""What a plan begins from: the parts of a job with all it asks for, and the wood that each of them comes from."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from stopwright.model.job import Job
from stopwright.model.parts import Kind, Made, Part, mark_order
from stopwright.model.stations import Shop
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.plan.assembling.hardware import hardware_needs
from stopwright.plan.assembling.moving_panels import moving_panels
from stopwright.plan.assembling.pieces import remarks_on_units
from stopwright.plan.choices import Choices
from stopwright.plan.effort import Effort
from stopwright.plan.joinery.tenons import with_tenons
from stopwright.plan.joinery.worked_length import worked_length
from stopwright.plan.making.measure_first import AskedFirst, asked_first
from stopwright.plan.run_sheet import HardwareNeed, MovingPanel, Remark
from stopwright.plan.stations.runs_long import runs_long
from stopwright.plan.timber.panels import Panel, not_passing, panels_of, too_wide, with_strips
from stopwright.plan.timber.wood import WoodPlan, plan_wood


@dataclass(frozen=True, slots=True)
class Begun:
    """A job before anything is put in order. `whole` has its loose tenons and strips as parts.

    `parts` are all of them, in the order of their marks and as long as they come off the crosscut stop; panels are not
    cut from the `wood`, `moving` are those loose in grooves. The rest is what there is to look at: faults and warnings
    of the assembly, parts that are too wide for the wood, quantities that do not divide among the units, and openings
    to measure before parts are cut to them.
    `assembled` are the jobs whose units are glued up, each with its number where several are worked together.
    """

    job: Job
    whole: Job
    parts: tuple[Part, ...]
    panels: tuple[Panel, ...]
    wood: WoodPlan
    moving: tuple[MovingPanel, ...] = ()
    hardware: tuple[HardwareNeed, ...] = ()
    faults: tuple[Remark, ...] = ()
    of_assembly: tuple[Remark, ...] = ()
    too_wide: tuple[Remark, ...] = ()
    of_units: tuple[Remark, ...] = ()
    to_measure: tuple[AskedFirst, ...] = ()
    assembled: tuple[tuple[str, Job], ...] = ()

    @property
    def from_wood(self) -> tuple[Part, ...]:
        """The parts that are cut from boards and sheets."""
        return tuple(part for part in self.parts if part.made is not Made.PANEL)


def begin(job: Job, shop: Shop, choices: Choices, effort: Effort | None) -> Begun:
    """The job with its wood laid out."""
    panels = panels_of(job, shop)
    whole = with_strips(with_tenons(job, shop), panels)
    parts = tuple(replace(part, length=worked_length(whole, part, shop)) for part in _in_order(whole.parts))
    from_wood = [part for part in parts if part.made is not Made.PANEL]
    wood = plan_wood(from_wood, job.stock, shop, choices.may_turn, choices.mix_widths, effort, _run_long(whole))
    assembly, moving = assembly_stages(job), moving_panels(job, shop.show)
    return Begun(
        job,
        whole,
        parts,
        panels,
        wood,
        moving.panels,
        hardware_needs(job),
        (*assembly.faults, *moving.faults, *not_passing(panels, shop)),
        (*assembly.warnings, *moving.warnings),
        tuple(too_wide(parts, job.stock)),
        tuple(remarks_on_units(replace(job, parts=tuple(_in_order(job.parts))))),
        tuple(asked_first(job, shop.show)),
        (("", job),),
    )


def _in_order(parts: Sequence[Part]) -> list[Part]:
    """Parts by their marks: A … Z, AA …"""
    return sorted(parts, key=lambda part: mark_order(part.mark))


def _run_long(job: Job) -> dict[str, str]:
    """What a part is moulded with while it is long, by its mark: only what is moulded alike shares a board."""
    shaped = {part.mark: part.kind.value for part in job.parts if part.kind is Kind.MOULDING}
    for moulding in job.mouldings:
        if runs_long(moulding):
            for mark in moulding.parts:
                shaped[mark] = f"{shaped.get(mark, '')}\n{moulding.mark}"
    return shaped
