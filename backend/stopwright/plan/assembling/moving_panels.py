"""Panels of a job in their grooves: how wide each may be where its wood moves, and what is said where it may not."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from stopwright.lengths import INCH, MM, Nm, Show, format_length
from stopwright.model.job import Job
from stopwright.model.moisture import Moisture
from stopwright.model.parts import Part
from stopwright.plan.assembling.assembly import assembly_stages
from stopwright.plan.assembling.loose_parts import Loose
from stopwright.plan.operations.groove import Groove
from stopwright.plan.run_sheet import MovingPanel, Remark
from stopwright.plan.timber.movement import SPECIES, coefficient_of
from stopwright.plan.timber.panel_room import PanelRoom


@dataclass(frozen=True, slots=True)
class PanelsFound:
    """The panels whose opening is known; `faults` name those that do not fit, `warnings` wood that is not known."""

    panels: tuple[MovingPanel, ...]
    faults: tuple[Remark, ...]
    warnings: tuple[Remark, ...]


def moving_panels(job: Job, show: Show) -> PanelsFound:
    """Every part that goes into grooves whose clear opening across it is known, with its room there.

    Wood whose coefficient is not known is told of, and taken not to move: then only the opening and the grooves count.
    """
    panels, faults, warnings = [], [], []
    for (cut, part, opening), grooves in _openings(job).items():
        coefficient = coefficient_of(part)
        if coefficient is None:
            known = ", ".join(one.name for one in SPECIES)
            text = f"'{part.material}' is a wood whose movement is not known, so its room in {cut.mark} is not checked"
            warnings.append(Remark(part.mark, f"{text}; known are {known}"))
        room = PanelRoom(part.width, opening, grooves, coefficient or Fraction(0), job.moisture)
        panels.append(MovingPanel(part.mark, cut.mark, room))
        if not room.fits:
            faults.append(Remark(part.mark, _does_not_fit(cut, room, show)))
    return PanelsFound(tuple(panels), tuple(faults), tuple(dict.fromkeys(warnings)))


def _openings(job: Job) -> dict[tuple[Groove, Part, Nm], Nm]:
    """Cut, part and opening across it, with how deep both grooves are: as the job says, else as the joints tell."""
    grooves = {cut.mark: cut for cut in job.cuts if isinstance(cut, Groove) and cut.fits}
    said = {
        (cut, job.part(cut.fits), cut.opening_across): 2 * cut.depth
        for cut in grooves.values()
        if cut.opening_across is not None
    }
    known = {part.mark for _, part, _ in said}
    plan = assembly_stages(job)
    for loose in (*(one for stage in plan.stages for one in stage.loose), *plan.afterwards):
        part = job.part(loose.piece[0])
        if loose.is_laid_on or part.mark in known:
            continue
        across = _across(part, loose, grooves)
        if across is not None:
            beside = [grooves[mouth.cut] for mouth in loose.mouths if mouth.out[0] == across]
            said[beside[0], part, dict(loose.openings)[across]] = sum(cut.depth for cut in beside)
    return said


def _across(part: Part, loose: Loose, grooves: Mapping[str, Groove]) -> int | None:
    """The axis along which a loose part lies with its width, by what is nearest to its size; None if it is not held.

    Its size is that of the opening with the grooves, less a little.
    """
    axes = sorted({0, 1, 2} - {loose.mouths[0].thick})
    room = {
        axis: opening + sum(grooves[mouth.cut].depth for mouth in loose.mouths if mouth.out[0] == axis)
        for axis, opening in loose.openings
    }

    def off(across: int) -> Nm:
        wanted = {axis: part.width if axis == across else part.length for axis in axes}
        return sum(abs(wanted[axis] - most) for axis, most in room.items())

    nearest = min(axes, key=off)
    return nearest if nearest in room else None


def _does_not_fit(cut: Groove, room: PanelRoom, show: Show) -> str:
    opening, deep = format_length(room.opening, show), format_length(cut.depth, show)
    where = f"in grooves {deep} deep, {opening} apart"
    if room.coefficient:
        where += f", between {percent(room.moisture)}"
    if room.least > room.most:
        needed = format_length(_up(-(-room.grooves_needed // 2), show), show)
        widest = format_length(_down(room.widest_opening or 0, show), show)
        text = f"no width stays held and free {where}; the widest opening for them is {widest}"
        return f"{text}. Make the grooves {needed} deep, or divide the opening"
    wide, least, most = (format_length(one, show) for one in (room.width, room.least, room.most))
    would = format_length(max(_down(room.most, show), room.least), show)
    return f"is {wide} wide; {where} it may have {least} to {most}: {would} would do"


def percent(moisture: Moisture) -> str:
    """Between what a piece lives, in words.

    >>> percent(Moisture())
    '8 and 12 % of moisture, made at 10 %'
    """
    driest, wettest, made = (f"{float(one):g}" for one in (moisture.driest, moisture.wettest, moisture.made_at))
    return f"{driest} and {wettest} % of moisture, made at {made} %"


def _down(length: Nm, show: Show) -> Nm:
    step = MM if show is Show.MM else INCH // 16
    return length // step * step


def _up(length: Nm, show: Show) -> Nm:
    return -_down(-length, show)
