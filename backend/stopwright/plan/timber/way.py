"""The way of the wood: which workpieces every run takes and gives, followed from the rack to the last cut."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.job import Job
from stopwright.model.parts import DryBlank, PanelStrip, Part, mark_order, row_of
from stopwright.model.stations import Shop, Station
from stopwright.plan.run_sheet import Form, Lot, Pieces, Run
from stopwright.plan.timber.dry_fit import fitted_to
from stopwright.plan.timber.rack import Stack, StripPlan, rack_of
from stopwright.plan.timber.wood import WoodPlan


@dataclass(slots=True)
class Strip:
    """Equal strips, still long: what is still to be cut from each, and whether one end is square."""

    lot: Lot
    plan: StripPlan
    trim: bool
    squared: bool = False


@dataclass(slots=True)
class Way:
    """The wood as it stands while runs take and give it: boards and sheets, strips, and pieces by their mark.

    `parts` are as long as they come off the crosscut stop, `finished` their sizes in the part list; `runs` are all
    runs in working order, `place` is that of the run which is worked.
    """

    shop: Shop
    job: Job
    parts: Mapping[str, Part]
    finished: Mapping[str, tuple[Nm, Nm, Nm]]
    stacks: list[Stack]
    runs: Sequence[Run]
    place: int = 0
    strips: list[Strip] = field(default_factory=list)
    pieces: dict[str, list[Lot]] = field(default_factory=dict)
    named: Counter[str] = field(default_factory=Counter)

    def add_strip(self, lot: Lot, plan: StripPlan, trim: bool) -> None:
        """Strips that came off the fence."""
        self.strips.append(Strip(lot, plan, trim))

    def take_unripped(self, marks: AbstractSet[str]) -> None:
        """Boards that are a strip as they are come to the saw with the strips, where any of these parts is in them."""
        for stack in list(self.stacks):
            here = stack.counts()
            if here and not marks.isdisjoint(here) and all(row_of(self.parts[mark]) is not None for mark in here):
                self.stacks.remove(stack)
                for plan in stack.strips:
                    self.add_strip(stack.lot, plan, stack.trim)

    def cut_off(self, mark: str, along: Nm, thickness: Nm, count: int, form: Form) -> Lot:
        """So many pieces of a part, or blanks for it, cut off `along` nm long."""
        self.named[mark] += 1
        name = mark if self.named[mark] == 1 else f"{mark} ({self.named[mark]})"
        part = self.parts[mark]
        size = (along if form is Form.BLANK else part.length, part.width, thickness)
        if isinstance(part, DryBlank):
            form = Form.BLANK
        lot = Lot(name, form, count, part.material, *size, ((mark, count),), chalk=mark)
        self.pieces.setdefault(mark, []).append(lot)
        return lot

    def worked_pieces(
        self, run: Run, change: Callable[[str], Callable[[Lot], Lot]] | None = None
    ) -> tuple[list[Lot], list[Lot]]:
        """The pieces of a run, taken and given, each `change`d if need be.

        Where no station of the shop cut them, they come from the rack as drawn.
        """
        takes: list[Lot] = []
        gives: list[Lot] = []
        for mark in dict.fromkeys(pieces.mark for pieces in run.pieces):
            part = self.parts[mark]
            here = self.pieces.get(mark) or [
                Lot(mark, Form.PIECE, part.quantity, part.material, *part.size, ((mark, part.quantity),), chalk=mark)
            ]
            takes += here
            self.pieces[mark] = [change(mark)(lot) for lot in here] if change else here
            gives += self.pieces[mark]
        return takes, gives

    def strips_or_pieces(self, run: Run) -> tuple[list[Lot], list[Lot]]:
        """The strips that hold parts of the run while they are long, else its pieces; their sizes stay."""
        marks = {pieces.mark for pieces in run.pieces}
        long = [one.lot for one in self.strips if one.plan.marks() & marks]
        return (long, list(long)) if long else self.worked_pieces(run)

    def panels(self, run: Run, change: Callable[[Lot], Lot]) -> tuple[list[Lot], list[Lot]]:
        """The panels of a run as they are taken, and each changed; sub-panels, too, whose pieces are still strips.

        What is sawn to size after the dry fit comes from blanks of sheet; from then on it has its own mark.
        """
        takes: list[Lot] = []
        gives: list[Lot] = []
        parts = (self.parts[pieces.mark] for pieces in run.pieces)
        for mark in dict.fromkeys(part.panel if isinstance(part, PanelStrip) else part.mark for part in parts):
            here = [lot for lot in self.pieces.get(mark, []) if lot.form in (Form.PANEL, Form.BLANK)]
            taken = here or self._blanks_for(mark)
            here = here or [_from_blank(lot, mark, number) for number, lot in enumerate(taken)]
            takes += taken
            if here:
                self.pieces[mark] = [change(lot) for lot in here]
                gives += self.pieces[mark]
        return takes, gives

    def _blanks_for(self, mark: str) -> list[Lot]:
        blanks = (one for one in self.parts.values() if isinstance(one, DryBlank) and one.blank_for == mark)
        return [lot for blank in blanks for lot in self.pieces.pop(blank.mark, [])]

    def closes(self, run: Run) -> bool:
        """Whether no later run does the same work to any of these parts."""
        marks = {pieces.mark for pieces in run.pieces}
        later = (one for one in self.runs[self.place + 1 :] if one.work == run.work)
        return not any(pieces.mark in marks for one in later for pieces in one.pieces)

    def rest(self, lot: Lot) -> list[Lot]:
        """What is left of a lot as an offcut, none where it is not worth keeping."""
        limits = self.shop.limits
        if lot.length < limits.offcut_length or lot.width < limits.offcut_width:
            return []
        return [replace(lot, name=f"{lot.name}, rest", form=Form.OFFCUT, becomes=(), source="")]


Follow: TypeAlias = Callable[[Way, Run, Station], tuple[list[Lot], list[Lot]]]
"""What a run takes and what it gives."""


def follow_wood(
    runs: Sequence[Run], follow: Callable[[str], Follow], wood: WoodPlan, job: Job, parts: Sequence[Part], shop: Shop
) -> list[Run]:
    """The runs with what they take and give, as `follow` tells by their work; what finds nothing left falls away.

    The runs come in working order. No run takes what no earlier one has given or what does not lie on the rack, and
    what comes off the last cut of a part is all of it: both hold by the way it is worked out.
    """
    stations = {station.name: station for station in shop.stations}
    finished = {part.mark: part.size for part in job.parts}
    way = Way(shop, job, {part.mark: part for part in parts}, finished, rack_of(wood, parts, shop), runs)
    given: dict[str, str] = {}
    dry: set[str] = set()
    followed = []
    for place, run in enumerate(runs):
        way.place = place
        takes, gives = follow(run.work)(way, run, stations[run.station])
        if not takes:
            continue
        after = dict.fromkeys(given[lot.name] for lot in takes if lot.name in given)
        if run.after_dry_fit and not dry.issuperset(after):
            after |= dict.fromkeys(given[lot.name] for lot in _fitted_to(way, run) if lot.name in given)
        if run.after_dry_fit:
            dry.add(run.id)
        run = replace(run, takes=tuple(takes), gives=tuple(gives), after=tuple(after))
        run = replace(run, pieces=tuple(_finished_inside(run, parts)))
        given |= dict.fromkeys((lot.name for lot in gives), run.id)
        followed.append(run)
    return followed


def _from_blank(lot: Lot, mark: str, number: int) -> Lot:
    """What a lot of blanks becomes, `number` from 0 among those of the part."""
    name = f"{mark} ({number + 1})" if number else mark
    return replace(lot, name=name, becomes=((mark, lot.count),), chalk=mark)


def _fitted_to(way: Way, run: Run) -> Iterator[Lot]:
    """The pieces that must be worked before a run that waits for the dry fit."""
    for mark in dict.fromkeys(one for pieces in run.pieces for one in fitted_to(way.job, pieces.mark)):
        yield from way.pieces.get(mark, ())


def _finished_inside(run: Run, parts: Sequence[Part]) -> Iterator[Pieces]:
    """The finished pieces inside what a run works: its own lines where it works pieces, else what the lots become."""
    if any(pieces.down or pieces.mirrored for pieces in run.pieces):
        yield from run.pieces
        return
    counts: Counter[str] = Counter()
    for lot in run.cut_free or run.takes:
        counts.update(dict(lot.becomes))
    names = {part.mark: part.name for part in parts}
    for mark in sorted(counts, key=mark_order):
        yield Pieces(mark, names[mark], counts[mark])


def target_of(run: Run, sets: str) -> Nm | None:
    """Where the stop of a run that sets this stands, nm; None without one."""
    targets = (stop.target for stop in run.stops if stop.sets == sets)
    return next((target for target in targets if isinstance(target, int)), None)
