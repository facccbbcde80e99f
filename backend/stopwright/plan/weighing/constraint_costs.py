"""What each constraint costs: the plan made again with that one constraint relaxed, and what it would save."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from stopwright.lengths import INCH, MM, Nm, format_length
from stopwright.model.counts import counted
from stopwright.model.gear import Knives
from stopwright.model.job import Job
from stopwright.model.parts import Grain, Kind, Part
from stopwright.model.stations import Axis, Sets, Shop, Station, Work
from stopwright.plan.choices import Choices
from stopwright.plan.effort import Effort
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import RunSheet
from stopwright.plan.sourcing.shop_figures import about, own_show
from stopwright.plan.stations.thickness import GREATEST_SAFE_CUT, GREATEST_SAFE_CUT_UP_TO
from stopwright.plan.weighing.alternatives import Alternative, figures

MOST_HELD = 12


@dataclass(frozen=True, slots=True)
class Relaxed:
    """One constraint and what it becomes, in words, with all that is planned from then."""

    constraint: str
    becomes: str
    job: Job
    shop: Shop
    choices: Choices


@dataclass(frozen=True, slots=True)
class ConstraintCost:
    """What the plan would be without a constraint, and what that saves; negative where it would cost more.

    `warnings` counts the things to look at that would be gone.
    """

    relaxed: Relaxed
    then: Alternative
    settings: int
    boards: int
    handlings: int
    minutes: float
    warnings: int

    @property
    def saves(self) -> bool:
        """True when at least one of them gets better: settings, boards, handlings, minutes, things to look at."""
        return max(self.settings, self.boards, self.handlings, self.warnings) > 0 or self.minutes >= 0.5


def relaxations(job: Job, shop: Shop, choices: Choices) -> tuple[Relaxed, ...]:
    """Every constraint of this job and shop that can be relaxed by itself."""
    ways = (_one_more_stop, _finer_scales, _with_spacers, _made_equal, _deeper_cut, _turning, _any_widths)
    return tuple(relaxed for way in ways for relaxed in way(job, shop, choices))


def constraint_cost(relaxed: Relaxed, now: RunSheet, effort: Effort | None = None) -> ConstraintCost:
    """What `relaxed` saves against the sheet as it is now; one whole plan is made for it."""
    sheet = make_plan(relaxed.job, relaxed.shop, relaxed.choices, effort)
    held, then = figures(now, relaxed.choices), figures(sheet, relaxed.choices)
    return ConstraintCost(
        relaxed,
        then,
        held.settings.made - then.settings.made,
        held.boards - then.boards,
        held.handlings - then.handlings,
        held.minutes - then.minutes,
        len(now.warnings) - len(sheet.warnings),
    )


def _one_more_stop(job: Job, shop: Shop, choices: Choices) -> Iterator[Relaxed]:
    axis = _axis(shop, "crosscut", "length")
    if axis and axis.holds < MOST_HELD:
        more = axis.holds + 1
        shop = _with_axis(shop, lambda one: replace(one, holds=more) if one == axis else one)
        yield Relaxed(counted(axis.holds, "flip stop"), f"{more} of them", job, shop, choices)


def _finer_scales(job: Job, shop: Shop, choices: Choices) -> Iterator[Relaxed]:
    finest = INCH // 64 if shop.lengths == "in" else MM // 10
    coarse = {axis.step for station in shop.stations for axis in station.axes if axis.step and axis.step > finest}
    if coarse:
        own = own_show(shop)
        said = format_length(max(coarse), own)
        shop = _with_axis(shop, lambda one: replace(one, step=min(one.step, finest)) if one.step else one)
        becomes = f"every scale read to {format_length(finest, own)}"
        yield Relaxed(f"Scales read to {said}", becomes, job, shop, choices)


def _with_spacers(job: Job, shop: Shop, choices: Choices) -> Iterator[Relaxed]:
    if (job.joints or job.cuts) and not (shop.spacers and choices.strips):
        with_them = replace(shop, spacers=True), replace(choices, strips=True)
        yield Relaxed("No spacers", "blocks and strips between piece and stop", job, *with_them)


def _made_equal(job: Job, shop: Shop, choices: Choices) -> Iterator[Relaxed]:
    """Targets so near each other that they are asked about, each made the longest of its neighbours."""
    parts, marks = list(job.parts), []
    for field, work, sets in (
        ("length", "crosscut", "length"),
        ("width", "rip", "width"),
        ("thickness", "plane", "thickness"),
    ):
        axis = _axis(shop, work, sets)
        limit = max(2 * ((axis.step if axis else None) or 0), shop.limits.nearly_equal)
        equal = _near_ones({getattr(part, field) for part in parts}, limit)
        for place, part in enumerate(parts):
            size = getattr(part, field)
            if equal[size] != size:
                marks.append(part.mark)
                parts[place] = _resized(part, field, equal[size])
    if marks:
        those = ", ".join(dict.fromkeys(marks))
        yield Relaxed("Nearly equal sizes", f"made equal: {those}", replace(job, parts=tuple(parts)), shop, choices)


def _deeper_cut(job: Job, shop: Shop, choices: Choices) -> Iterator[Relaxed]:
    planer = shop.station_for("plane")
    solid = [part for part in job.parts if part.kind is not Kind.SHEET]
    if planer is None or planer.of(Knives).greatest_cut >= GREATEST_SAFE_CUT or not solid:
        return
    if all(part.width + shop.allowance.width <= GREATEST_SAFE_CUT_UP_TO for part in solid):
        own = own_show(shop)
        said = f"Planer takes {format_length(planer.of(Knives).greatest_cut, own)} at most"
        becomes = f"{about(GREATEST_SAFE_CUT, own)}, as no stock is wider than {about(GREATEST_SAFE_CUT_UP_TO, own)}"
        shop = _with_station(shop, planer, planer.fitted(Knives(greatest_cut=GREATEST_SAFE_CUT)))
        yield Relaxed(said, becomes, job, shop, choices)


def _turning(job: Job, shop: Shop, choices: Choices) -> Iterator[Relaxed]:
    held = [p for p in job.parts if p.kind is Kind.SHEET and p.grain is not Grain.ANY and p.length != p.width]
    if job.stock and (held or choices.may_turn is False):
        free = tuple(replace(part, grain=Grain.ANY) if part in held else part for part in job.parts)
        what = f"Grain of {', '.join(part.mark for part in held[:6])}" if held else "Pieces are not turned on a sheet"
        yield Relaxed(what, "turned wherever it helps", replace(job, parts=free), shop, replace(choices, may_turn=None))


def _any_widths(job: Job, shop: Shop, choices: Choices) -> Iterator[Relaxed]:
    if job.stock and not choices.mix_widths:
        mixed = replace(choices, mix_widths=True)
        yield Relaxed("One width from each board", "several widths from one board", job, shop, mixed)


def _near_ones(sizes: set[Nm], limit: Nm) -> dict[Nm, Nm]:
    """For each size the longest one within the limit of it, nm.

    >>> _near_ones({450, 449, 300}, 2)
    {450: 450, 449: 450, 300: 300}
    """
    equal: dict[Nm, Nm] = {}
    longest = 0
    for size in sorted(sizes, reverse=True):
        if not equal or longest - size >= limit:
            longest = size
        equal[size] = longest
    return equal


def _resized(part: Part, field: str, size: Nm) -> Part:
    match field:
        case "length":
            return replace(part, length=size)
        case "width":
            return replace(part, width=size)
        case _:
            return replace(part, thickness=size)


def _axis(shop: Shop, work: Work, sets: Sets) -> Axis | None:
    station = shop.station_for(work)
    return station.axis(sets) if station else None


def _with_axis(shop: Shop, change: Callable[[Axis], Axis]) -> Shop:
    stations = (replace(station, axes=tuple(map(change, station.axes))) for station in shop.stations)
    return replace(shop, stations=tuple(stations))


def _with_station(shop: Shop, old: Station, new: Station) -> Shop:
    return replace(shop, stations=tuple(new if station == old else station for station in shop.stations))
