"""The way of the wood: which workpieces every run takes and gives, followed from the rack to the last cut."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.parts import Part, mark_order
from stopwright.model.stations import Sets, Shop, Station, Work
from stopwright.plan.run_sheet import Form, Lot, Pieces, Run
from stopwright.plan.timber.rack import Stack, StripPlan, rack_of
from stopwright.plan.timber.wood import WoodPlan


@dataclass(slots=True)
class _Strip:
    """Equal strips, still long: what is still to be cut from each, and whether one end is square."""

    lot: Lot
    plan: StripPlan
    trim: bool
    squared: bool = False


@dataclass(slots=True)
class _Way:
    """The wood as it stands while runs take and give it."""

    shop: Shop
    parts: Mapping[str, Part]
    finished: Mapping[str, tuple[Nm, Nm, Nm]]
    stacks: list[Stack]
    sized: frozenset[str]
    strips: list[_Strip] = field(default_factory=list)
    pieces: dict[str, list[Lot]] = field(default_factory=dict)
    named: Counter[str] = field(default_factory=Counter)

    def worked(self, run: Run, station: Station, last_mitre: bool) -> tuple[list[Lot], list[Lot]]:
        """What the run takes and what it gives; both empty where nothing is left for it."""
        marks = {pieces.mark for pieces in run.pieces}
        target = next((stop.target for stop in run.stops if stop.sets in _CUTS.get(run.work, ())), None)
        size = target if isinstance(target, int) else None
        match run.work:
            case Work.JOINT:
                return self._true(self.shop.allowance.width, self.shop.allowance.thickness)
            case Work.PLANE if size is not None:
                return self._plane(size)
            case Work.RIP if size is not None:
                return self._rip(size, run.size[1] if run.size else None, marks, station)
            case Work.SQUARE:
                return self._square(run.size, marks, station)
            case Work.CROSSCUT:
                return self._crosscut(size, run.size[0] if run.size else None, marks, station)
            case Work.MOULD if long := [one for one in self.strips if one.plan.marks() & marks]:
                return [one.lot for one in long], [one.lot for one in long]
            case _:
                return self._pieces(run, last_mitre)

    def _true(self, width: Nm, thickness: Nm) -> tuple[list[Lot], list[Lot]]:
        here = [stack for stack in self.stacks if not stack.is_sheet]
        takes = [stack.lot for stack in here]
        for stack in here:
            lot = stack.lot
            face = 0 if stack.planed else thickness
            stack.lot = replace(lot, width=lot.width - width, thickness=lot.thickness - face)
        return takes, [stack.lot for stack in here]

    def _plane(self, height: Nm) -> tuple[list[Lot], list[Lot]]:
        here = [s for s in self.stacks if not s.is_sheet and s.finished <= height < s.lot.thickness]
        takes = [stack.lot for stack in here]
        for stack in here:
            stack.lot = replace(stack.lot, thickness=height)
        return takes, [stack.lot for stack in here]

    def _rip(self, width: Nm, length: Nm | None, marks: set[str], station: Station) -> tuple[list[Lot], list[Lot]]:
        takes: list[Lot] = []
        gives: list[Lot] = []
        for stack in self.stacks:
            here = [strip for strip in stack.strips if strip.width == width and self._wanted(strip, length) & marks]
            if not here:
                continue
            takes.append(stack.lot)
            if stack.trim and stack.is_sheet and not stack.ripped:
                stack.lot = replace(stack.lot, width=stack.lot.width - station.trim)
            for strip in here:
                stack.strips.remove(strip)
                stack.ripped += 1
                gives.append(self._strip(stack, strip, station.kerf))
            if stack.strips:
                left = sum((strip.counts() for strip in stack.strips), Counter[str]())
                stack.lot = replace(stack.lot, becomes=_becomes(left, stack.lot.count))
                gives.append(stack.lot)
            else:
                gives += self._rest(stack.lot)
        self.stacks = [stack for stack in self.stacks if stack.strips]
        return takes, gives

    def _wanted(self, strip: StripPlan, length: Nm | None) -> set[str]:
        """The marks for which a strip is ripped now: part by part those of this length, and what is cut off later."""
        return strip.marks() if length is None else strip.marks(length) | (strip.marks() - self.sized)

    def _strip(self, stack: Stack, plan: StripPlan, kerf: Nm) -> Lot:
        lot = stack.lot
        name = f"{lot.name}, strip {stack.ripped}"
        becomes = _becomes(plan.counts(), lot.count)
        given = replace(lot, name=name, form=Form.STRIP, width=plan.width, becomes=becomes, source=lot.name)
        self.strips.append(_Strip(given, plan, stack.trim))
        stack.lot = replace(lot, width=max(0, lot.width - plan.width - kerf))
        return given

    def _square(self, size: tuple[Nm, Nm] | None, marks: set[str], station: Station) -> tuple[list[Lot], list[Lot]]:
        width, length = size or (None, None)
        here = [
            strip
            for strip in self.strips
            if not strip.squared and width in (None, strip.lot.width) and strip.plan.marks(length) & marks
        ]
        takes = [strip.lot for strip in here]
        for strip in here:
            strip.squared = True
            strip.lot = replace(strip.lot, length=strip.lot.length - (station.trim if strip.trim else 0))
        gives = [strip.lot for strip in here]
        held = {mark for strip in self.strips for mark in strip.plan.marks()}
        for mark in sorted(marks - held, key=mark_order):
            for place, lot in enumerate(self.pieces.get(mark, [])):
                if lot.form is Form.BLANK:
                    takes.append(lot)
                    self.pieces[mark][place] = replace(lot, length=lot.length - station.trim)
                    gives.append(self.pieces[mark][place])
        return takes, gives

    def _crosscut(
        self, length: Nm | None, width: Nm | None, marks: set[str], station: Station
    ) -> tuple[list[Lot], list[Lot]]:
        takes: list[Lot] = []
        rests: list[Lot] = []
        cut: Counter[tuple[str, Nm, Nm]] = Counter()
        for strip in self.strips:
            here = {one: n for one, n in strip.plan.cuts.items() if one[0] in marks and length in (None, one[1])}
            if not here or width not in (None, strip.lot.width):
                continue
            takes.append(strip.lot)
            for (mark, along), count in here.items():
                cut[mark, along, strip.lot.thickness] += count * strip.lot.count
                del strip.plan.cuts[mark, along]
                long = strip.lot.length - count * (along + station.kerf)
                strip.lot = replace(strip.lot, length=max(0, long))
            strip.lot = replace(strip.lot, becomes=_becomes(strip.plan.counts(), strip.lot.count))
            rests += [strip.lot] if strip.plan.cuts else self._rest(strip.lot)
        self.strips = [strip for strip in self.strips if strip.plan.cuts]
        form = Form.BLANK if length is None else Form.PIECE
        gives = [self._cut_off(*one, count, form) for one, count in sorted(cut.items(), key=_in_order_of_marks)]
        return takes, [*gives, *rests]

    def _cut_off(self, mark: str, along: Nm, thickness: Nm, count: int, form: Form) -> Lot:
        self.named[mark] += 1
        name = mark if self.named[mark] == 1 else f"{mark} ({self.named[mark]})"
        part = self.parts[mark]
        size = (along if form is Form.BLANK else part.length, part.width, thickness)
        lot = Lot(name, form, count, part.material, *size, ((mark, count),), chalk=mark)
        self.pieces.setdefault(mark, []).append(lot)
        return lot

    def _pieces(self, run: Run, last_mitre: bool) -> tuple[list[Lot], list[Lot]]:
        """Work on pieces. Where no station of the shop cut them, they come from the rack as drawn."""
        takes: list[Lot] = []
        gives: list[Lot] = []
        for mark in dict.fromkeys(pieces.mark for pieces in run.pieces):
            part = self.parts[mark]
            here = self.pieces.get(mark) or [
                Lot(mark, Form.PIECE, part.quantity, part.material, *part.size, ((mark, part.quantity),), chalk=mark)
            ]
            takes += here
            if run.work is Work.MITRE and last_mitre:
                length, width, _ = self.finished[mark]
                here = [replace(lot, form=Form.PIECE, length=length, width=width) for lot in here]
            self.pieces[mark] = here
            gives += here
        return takes, gives

    def _rest(self, lot: Lot) -> list[Lot]:
        limits = self.shop.limits
        if lot.length < limits.offcut_length or lot.width < limits.offcut_width:
            return []
        return [replace(lot, name=f"{lot.name}, rest", form=Form.OFFCUT, becomes=(), source="")]


_CUTS: Mapping[Work, tuple[Sets, ...]] = {
    Work.PLANE: (Sets.THICKNESS,),
    Work.RIP: (Sets.WIDTH,),
    Work.CROSSCUT: (Sets.LENGTH,),
}


def follow_wood(runs: Sequence[Run], wood: WoodPlan, job: Job, parts: Sequence[Part], shop: Shop) -> list[Run]:
    """The runs with what they take and give; one for which nothing is left falls away.

    The runs come in working order. No run takes what no earlier one has given or what does not lie on the rack, and
    what comes off the last cut of a part is all of it: both hold by the way it is worked out.
    """
    stations = {station.name: station for station in shop.stations}
    sized = frozenset(one.mark for run in runs if run.size and run.work is Work.CROSSCUT for one in run.pieces)
    finished = {part.mark: part.size for part in job.parts}
    way = _Way(shop, {part.mark: part for part in parts}, finished, rack_of(wood, parts), sized)
    last = {pieces.mark: place for place, run in enumerate(runs) if run.work is Work.MITRE for pieces in run.pieces}
    given: dict[str, str] = {}
    followed = []
    for place, run in enumerate(runs):
        closes = any(last.get(pieces.mark) == place for pieces in run.pieces)
        takes, gives = way.worked(run, stations[run.station], closes)
        if not takes:
            continue
        after = tuple(dict.fromkeys(given[lot.name] for lot in takes if lot.name in given))
        run = replace(run, takes=tuple(takes), gives=tuple(gives), after=after)
        run = replace(run, pieces=tuple(_finished_inside(run, parts)))
        given |= {lot.name: run.id for lot in gives}
        followed.append(run)
    return followed


def _finished_inside(run: Run, parts: Sequence[Part]) -> Iterator[Pieces]:
    """The finished pieces inside what a run works: its own lines where it works pieces, else what the lots become."""
    if any(pieces.down or pieces.mirrored for pieces in run.pieces):
        yield from run.pieces
        return
    taken = {lot.name for lot in run.takes}
    cut_off = [lot for lot in run.gives if lot.name not in taken]  # what is left of a board or strip keeps its name
    whole = cut_off if run.work in (Work.RIP, Work.CROSSCUT) else run.takes
    counts: Counter[str] = Counter()
    for lot in whole:
        counts.update(dict(lot.becomes))
    names = {part.mark: part.name for part in parts}
    for mark in sorted(counts, key=mark_order):
        yield Pieces(mark, names[mark], counts[mark])


def _becomes(counts: Mapping[str, int], times: int) -> tuple[tuple[str, int], ...]:
    return tuple((mark, counts[mark] * times) for mark in sorted(counts, key=mark_order) if counts[mark])


def _in_order_of_marks(one: tuple[tuple[str, Nm, Nm], int]) -> tuple[tuple[int, str], Nm, Nm]:
    (mark, along, thickness), _ = one
    return (mark_order(mark), along, thickness)
