"""What a plan begins from: the parts of a job with all it asks for, and the wood that each of them comes from."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from stopwright.model.job import Job
from stopwright.model.parts import Kind, Part, mark_order
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
from stopwright.plan.timber.calibrating import is_calibrated, left_for_calibrating, planed_part
from stopwright.plan.timber.dry_fit import is_from_blank, larger_than_left, with_blanks
from stopwright.plan.timber.panel_remarks import not_of_boards, not_passing, of_one_strip, too_wide
from stopwright.plan.timber.panels import Panel, panels_of, with_strips
from stopwright.plan.timber.wood import WoodPlan, plan_wood


@dataclass(frozen=True, slots=True)
class Begun:
    """A job before anything is put in order. `whole` has its loose tenons and strips as parts.

    `parts` are all of them, in the order of their marks and as long as they come off the crosscut stop; panels are not
    cut from the `wood`, `moving` are those loose in grooves. The rest is what there is to look at: faults and warnings
    of the assembly, parts that are too wide for the wood or panels that it does not give as they were asked for,
    quantities that do not divide among the units, and openings to measure before parts are cut to them.
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
        return _from_wood(self.parts)


def begin(job: Job, shop: Shop, choices: Choices, effort: Effort | None) -> Begun:
    """The job with its wood laid out."""
    panels = panels_of(job, shop)
    whole = with_blanks(with_strips(with_tenons(job, shop), panels))
    parts = tuple(replace(part, length=worked_length(whole, part, shop)) for part in _in_order(whole.parts))
    from_wood = [planed_part(part, shop) for part in _from_wood(parts)]
    alike = _worked_long(whole, shop)
    wood = plan_wood(from_wood, job.stock, shop, choices.may_turn, choices.mix_widths, effort, alike)
    assembly, moving = assembly_stages(job), moving_panels(job, shop.show)
    return Begun(
        job,
        whole,
        parts,
        panels,
        wood,
        moving.panels,
        hardware_needs(job),
        (*assembly.faults, *moving.faults, *not_passing(panels, shop), *larger_than_left(job.parts, shop)),
        (*assembly.warnings, *moving.warnings),
        (*too_wide(parts, job.stock), *not_of_boards(panels, shop), *of_one_strip(panels)),
        tuple(remarks_on_units(replace(job, parts=tuple(_in_order(job.parts))))),
        tuple(asked_first(job)),
        (("", job),),
    )


def _from_wood(parts: Iterable[Part]) -> tuple[Part, ...]:
    """The parts that are cut from boards and sheets, not from panels or blanks."""
    return tuple(part for part in parts if not part.is_glued and not is_from_blank(part))


def _in_order(parts: Sequence[Part]) -> list[Part]:
    """Parts by their marks: A … Z, AA …"""
    return sorted(parts, key=lambda part: mark_order(part.mark))


def _worked_long(job: Job, shop: Shop) -> dict[str, str]:
    """What is done to a part while it is long, by its mark: only what is moulded and sanded alike shares a board."""
    calibrated = job.parts if left_for_calibrating(shop) else ()
    shaped = {part.mark: "calibrated" for part in calibrated if is_calibrated(part)}
    shaped |= {part.mark: part.kind.value for part in job.parts if part.kind is Kind.MOULDING}
    for moulding in job.mouldings:
        for mark in moulding.parts:
            if runs_long(moulding, job.part(mark)):
                shaped[mark] = f"{shaped.get(mark, '')}\n{moulding.mark}"
    return shaped
