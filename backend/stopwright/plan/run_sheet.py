"""The run sheet: every run in order with its stops, pieces and cautions. What `make_plan` returns."""

import json
from base64 import b32encode
from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction
from hashlib import sha256
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.joints import Side
from stopwright.model.parts import mark_order
from stopwright.model.stock import Zone, clean_part
from stopwright.model.whose import lot_for, mark_for
from stopwright.plan.assembling.glue_up_told import GlueUpTold
from stopwright.plan.day.timetable import DayPlan
from stopwright.plan.timber.panel_room import PanelRoom


class Move(StrEnum):
    """What to do with a stop before a run: make the setting now, or leave it as it stands."""

    SET = "set"
    STANDS = "stands"


@dataclass(frozen=True, order=True, slots=True)
class Angle:
    """A saw setting in degrees off square."""

    degrees: Fraction


Position: TypeAlias = Nm | Angle | str
"""Where a stop stands: a length in nm, an angle, or the name of a cutter or of a mark on a master piece."""


Standing: TypeAlias = Mapping[str, Mapping[str, AbstractSet[Nm]]]
"""By station and axis, the positions that stand now, nm."""
AllStanding: TypeAlias = Mapping[str, Mapping[str, AbstractSet[Position]]]
"""The same with what is turned, square or not."""


@dataclass(frozen=True, slots=True)
class Stop:
    """One stop a run depends on.

    `target` is the true position, `reading` what the scale shows there, `residual` = reading − zero − target
    (what the nearest graduation is off by), `tolerance` ± what the strictest part of the run allows; nm.
    `to_mark` names the mark on the master piece where the axis has no scale (the reading is then the target).
    `any_at_mark` says that whatever is set to the same mark of the scale serves here too, within the tolerance.
    `is_set_back`: only put back to where it usually stands, so it does not tell runs apart.
    """

    axis: str
    sets: str
    target: Position
    reading: Position
    move: Move
    residual: Nm = 0
    tolerance: Nm | None = None
    to_mark: str = ""
    any_at_mark: bool = False
    is_set_back: bool = False

    @property
    def place(self) -> Position:
        """Where it has to stand: at its mark where anything set to that mark serves, else at the very target."""
        return self.target + self.residual if isinstance(self.target, int) and self.any_at_mark else self.target

    @property
    def off(self) -> Nm:
        """How far from the target it really stands, nm; 0 where its mark is too far off, and a trial piece helps."""
        return self.residual if self.tolerance is None or abs(self.residual) <= self.tolerance else 0

    @property
    def reads(self) -> Nm:
        """What its scale shows, nm; 0 where it has no lengths."""
        return self.reading if isinstance(self.reading, int) else 0

    @property
    def told(self) -> Nm | str:
        """Where it stands as the log keeps it: nm, or degrees or a name as text."""
        return self.target if isinstance(self.target, int) else plain_position(self.target)


@dataclass(frozen=True, slots=True)
class Measured:
    """One thing to measure at a trial piece with a rule or callipers: what, and what it is to be, nm.

    `outboard` where it grows as the stop reads less.
    """

    what: str
    wanted: Nm
    outboard: bool = False


@dataclass(frozen=True, slots=True)
class Spacer:
    """A block put between piece and stop, or under the piece: how thick (nm), how many, and where.

    `saves` is what would have to be set once more without it, "" where it only brings a stop within reach.
    """

    thickness: Nm
    count: int
    place: str
    saves: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class SpacerBlock:
    """Blocks to make before the runs that use them: so many of one thickness in nm, and for what."""

    thickness: Nm
    count: int
    use: str


@dataclass(frozen=True, slots=True)
class Lying:
    """How a piece lies for one cut: the side down, what is against `at` (an end stop "left" or "right", the fence, the
    stop, the sled, the peg, a finger over the peg, the template), and at the mortiser the side that is slotted.
    """

    down: Side
    reference: str
    at: str
    slotted: Side | None = None


@dataclass(frozen=True, slots=True)
class Pieces:
    """How many pieces of a part are worked in a run, and how they lie where they are cut into.

    `mirrored` marks the half of a handed pair whose marked end lies at the other hand. `then` are further cuts in the
    same pieces at the same stops, in which they lie otherwise; `note` is what the part list says of the part.
    """

    mark: str
    name: str
    count: int
    slotted: Side | None = None
    down: Side | None = None
    reference: str = ""
    at: str = ""
    mirrored: bool = False
    note: str = ""
    then: tuple[Lying, ...] = ()

    @property
    def each(self) -> "tuple[Pieces, ...]":
        """The same pieces once for each cut, as they lie for it."""
        more = (
            replace(self, slotted=one.slotted, down=one.down, reference=one.reference, at=one.at, then=())
            for one in self.then
        )
        return (replace(self, then=()), *more)


def rows_together(rows: Iterable[Pieces]) -> tuple[Pieces, ...]:
    """One row for each part and hand: rows of the same pieces that lie otherwise become further cuts of the first."""
    found: dict[tuple[str, bool], Pieces] = {}
    for row in rows:
        first = found.get((row.mark, row.mirrored))
        if first is None or row.down is None:
            found[row.mark, row.mirrored] = row
        else:
            lying = Lying(row.down, row.reference, row.at, row.slotted)
            found[row.mark, row.mirrored] = replace(first, then=(*first.then, lying))
    return tuple(found.values())


class Form(StrEnum):
    """What a workpiece is: from the rack, ripped and still long, cut off roughly, glued from strips, or a piece."""

    BOARD = "board"
    SHEET = "sheet"
    BLANK = "blank"
    STRIP = "strip"
    PANEL = "panel"
    PIECE = "piece"
    OFFCUT = "offcut"


@dataclass(frozen=True, slots=True)
class Lot:
    """Equal workpieces as they are at one time: their name, what they are, how many, and their size.

    Length (along the grain, for pieces as in the part list), width and thickness in nm are those of one of them.
    `becomes` tells how many finished pieces a mark come of the whole lot. `source` names the boards that strips were
    ripped from or sections cut from, `chalk` is what is written on them: the numbers of the boards, or the mark.
    """

    name: str
    form: Form
    count: int
    material: str
    length: Nm
    width: Nm
    thickness: Nm
    becomes: tuple[tuple[str, int], ...] = ()
    source: str = ""
    chalk: str = ""

    @property
    def size(self) -> tuple[Nm, Nm, Nm]:
        """Length, width, thickness in nm."""
        return (self.length, self.width, self.thickness)

    @property
    def is_to_piece(self) -> bool:
        """Whether each is a blank or a panel for just one piece."""
        is_made_for = self.form is Form.PANEL or (self.form is Form.BLANK and not self.source)
        return is_made_for and sum(count for _, count in self.becomes) == self.count


@dataclass(frozen=True, slots=True)
class Line:
    """What is counted on one line of a run: so many of a lot that are not pieces yet, and what they become.

    `is_new` where they come off it in this very run, `is_section` where they are sections of boards broken down.
    """

    lot: str
    form: Form
    count: int
    becomes: tuple[tuple[str, int], ...]
    chalk: str
    is_new: bool = False
    is_section: bool = False


@dataclass(frozen=True, slots=True)
class Changeover:
    """A machine made ready for another of its stations: minutes it takes, and what axes set that no longer stands.

    `take_off`, `cover` and `put_on` are what to do, in words. `stands` are stops that are left alone, for the run of
    that number; `again` names the axes whose setting it loses and that are set again later.
    """

    machine: str
    from_: str
    to: str
    minutes: float
    lost: tuple[str, ...] = ()
    take_off: tuple[str, ...] = ()
    cover: tuple[str, ...] = ()
    put_on: tuple[str, ...] = ()
    stands: tuple[tuple[Stop, int], ...] = ()
    again: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MachineChanges:
    """The changeovers of a machine, each with the number of the run after it; `least` minutes for these visits.

    `proven`: no order takes fewer. `is_best`: none takes fewer minutes of changing over and of setting what that loses
    together. `forward` are visits, by the numbers of their first runs, that come before one of an earlier stage, and
    that one. `usual` is how often it would be made ready for each station in the order of the stages, `usual_minutes`
    how long that would take.
    """

    machine: str
    changes: tuple[tuple[int, Changeover], ...]
    minutes: float
    least: float
    proven: bool
    is_best: bool = True
    forward: tuple[tuple[int, int], ...] = ()
    usual: tuple[tuple[str, int], ...] = ()
    usual_minutes: float = 0.0


@dataclass(frozen=True, slots=True)
class Gluing:
    """How a panel is glued: how wide what lies side by side is, from the left (nm), and how it is put together.

    `groups` says how many each glue-up takes: all of them, or those of the first sub-panel, of the second … `clamps`
    are those of one glue-up, `rest_hours` how long it rests then. `are_sub_panels`: what lies there is glued of strips.
    """

    widths: tuple[Nm, ...]
    groups: tuple[int, ...]
    clamps: int
    rest_hours: int
    are_sub_panels: bool = False


@dataclass(frozen=True, slots=True)
class Run:
    """The workpieces worked at one combination of settings.

    It takes lots and gives lots; `pieces` are the finished pieces inside them. `minutes` is the estimate of setting,
    working and carrying. `size` is (width, length) in nm where sizes are worked part by part, `lot` tells apart what
    is otherwise alike. `after` names the runs, by id, that give what this one takes. `change` is the changeover of the
    machine that comes before it. `cuts` are the marks of the cuts of the job that are made in it, by a
    tool that cuts `tool` wide (nm; 0 where it is not known), or two of them that leave `ring` between (nm; 0: one).
    `gluing` tells how a panel is glued in it. Lengths in the `note` are put into words by `read_out`.
    `after_dry_fit`: it waits until what its pieces must fit is put together dry.
    """

    number: int
    station: str
    work: str
    stops: tuple[Stop, ...]
    pieces: tuple[Pieces, ...]
    cautions: tuple[str, ...] = ()
    spacer: Spacer | None = None
    minutes: float = 0.0
    note: str = ""
    lot: str = ""
    size: tuple[Nm, Nm] | None = None
    takes: tuple[Lot, ...] = ()
    gives: tuple[Lot, ...] = ()
    after: tuple[str, ...] = ()
    change: Changeover | None = None
    cuts: tuple[str, ...] = ()
    tool: Nm = 0
    ring: Nm = 0
    gluing: Gluing | None = None
    after_dry_fit: bool = False

    @property
    def id(self) -> str:
        """What names this run whatever its number: stable while the same work is done at the same stops."""
        stops = [[stop.axis, plain_position(stop.target)] for stop in self.stops if not stop.is_set_back]
        spacer = [self.spacer.count, self.spacer.thickness] if self.spacer else []
        apart = f"{self.size[0]}x{self.size[1]}" if self.size else self.lot
        apart = f"{apart}, after the dry fit" if self.after_dry_fit else apart
        return run_id(self.station, self.work, stops, spacer, apart)

    @property
    def cut_free(self) -> tuple[Lot, ...]:
        """What comes off as something new: strips at the fence, pieces at the stop. What is left keeps its name."""
        taken = {lot.name for lot in self.takes}
        return tuple(lot for lot in self.gives if lot.name not in taken)

    @property
    def lines(self) -> tuple[Line, ...]:
        """What is counted while there are no pieces yet: boards, or strips board by board; empty where pieces are.

        Planing and jointing count the boards, ripping counts the strips that come off the fence. A blank that
        becomes one piece counts as that piece, unless boards are worked beside it.
        """
        given = [lot for lot in self.cut_free or self.gives if lot.form is not Form.OFFCUT]
        if any(lot.form is Form.PIECE for lot in given) or all(lot.is_to_piece for lot in given):
            return ()
        by_board: dict[str, list[Lot]] = {}
        for lot in given:
            by_board.setdefault(lot.source or lot.name, []).append(lot)
        is_new = bool(self.cut_free)
        return tuple(_line(name, lots, is_new) for name, lots in by_board.items())

    @property
    def count(self) -> int:
        """How many workpieces are worked in all: boards, strips or pieces."""
        return sum(line.count for line in self.lines or self.pieces)

    @property
    def passes(self) -> int:
        """How often a workpiece passes the tool in all: a piece that lies in several ways does so for each."""
        if self.lines:
            return self.count
        return sum(pieces.count * (1 + len(pieces.then)) for pieces in self.pieces)


def run_id(station: str, work: str, stops: Sequence[Sequence[str]], spacer: Sequence[int], lot: str) -> str:
    """Eleven signs that name a run: a digest of its station, work, stops, spacer and what else tells it apart.

    >>> run_id("saw", "rip", [["rip fence", "84000000"]], [], "")
    'rqknahgcxz3'
    """
    told = json.dumps([station, work, [list(stop) for stop in stops], list(spacer), lot])
    return "r" + b32encode(sha256(told.encode()).digest()).decode().lower()[:10]


def _line(name: str, lots: Sequence[Lot], is_new: bool) -> Line:
    becomes: dict[str, int] = {}
    for lot in lots:
        for mark, count in lot.becomes:
            becomes[mark] = becomes.get(mark, 0) + count
    first = lots[0]
    is_section = first.form is Form.BLANK and bool(first.source)
    return Line(
        name,
        first.form,
        sum(lot.count for lot in lots),
        tuple(sorted(becomes.items(), key=lambda one: mark_order(one[0]))),
        first.chalk.partition(".")[0] if is_section else first.chalk,
        is_new,
        is_section,
    )


@dataclass(frozen=True, slots=True)
class Settings:
    """How many settings the sheet makes, the least possible, whether that is proven, and minutes for them."""

    made: int
    least_possible: int
    proven: bool
    minutes: float


@dataclass(frozen=True, slots=True)
class Placement:
    """One piece on a board or sheet: corner and size in nm, x along the grain of the wood."""

    mark: str
    x: Nm
    y: Nm
    length: Nm
    width: Nm
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Rest(Placement):
    """What is left of a board or sheet, with the `zones` in it not to be used, counted from its own corner; nm."""

    zones: tuple[Zone, ...] = ()

    @property
    def clean(self) -> tuple[Nm, Nm]:
        """Length and width of its largest part without a flaw, nm."""
        return clean_part(self.length, self.width, self.zones)[2:]


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut of a layout, numbered as the saw makes it, nm.

    `work` is "rip" along the length, "crosscut" across it, "break down" where a board is cut into sections.
    """

    number: int
    work: str
    position: Nm
    start: Nm
    end: Nm


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of a board that is broken down: where it begins along the board, and how long it is; nm."""

    start: Nm
    length: Nm


@dataclass(frozen=True, slots=True)
class Layout:
    """How one board or sheet is cut, `times` over. `stock` indexes the job's stock rows; sizes in nm.

    `finished` is the thickness in which it is ripped, after the planer. The boards are numbered from `first` on.
    `rests` are all that is left of it, `offcuts` those worth keeping.
    `sections` are what it is crosscut into roughly, before anything else; none where it stays whole. `whose` is the
    number of the job where several are worked together.
    """

    stock: int
    material: str
    length: Nm
    width: Nm
    thickness: Nm
    times: int
    placements: tuple[Placement, ...]
    cuts: tuple[Cut, ...] = ()
    offcuts: tuple[Rest, ...] = ()
    rests: tuple[Rest, ...] = ()
    finished: Nm = 0
    first: int = 1
    sheet: bool = False
    sections: tuple[Section, ...] = ()
    whose: str = ""

    @property
    def numbers(self) -> str:
        """The numbers of these boards among those of their job."""
        return str(self.first) if self.times == 1 else f"{self.first}–{self.first + self.times - 1}"

    @property
    def chalk(self) -> str:
        """What to chalk on these boards.

        >>> Layout(0, "ash", 1, 1, 1, 3, (), first=2).chalk, Layout(0, "ash", 1, 1, 1, 3, (), whose="7").chalk
        ('2–4', '#7·1–3')
        """
        return mark_for(self.whose, self.numbers) if self.whose else self.numbers

    @property
    def lot(self) -> str:
        """What these boards are called: "board 1", "sheets 2–4"."""
        name = f"{'sheet' if self.sheet else 'board'}{'s' if self.times > 1 else ''} {self.numbers}"
        return lot_for(self.whose, name) if self.whose else name


@dataclass(frozen=True, slots=True)
class ToBuy:
    """Rough wood that is not on hand: blanks of one material and thickness, each for so many `pieces`; sizes in nm."""

    mark: str
    material: str
    count: int
    length: Nm
    width: Nm
    thickness: Nm
    pieces: int = 1
    lot: str = ""


@dataclass(frozen=True, slots=True)
class Wood:
    """Layouts over all wood on hand, and what must be bought besides."""

    boards_used: int = 0
    least_possible: int = 0
    proven: bool = True
    layouts: tuple[Layout, ...] = ()
    to_buy: tuple[ToBuy, ...] = ()
    handlings: int = 0


@dataclass(frozen=True, slots=True)
class TenonStock:
    """Loose tenons of one joint: sizes in nm, `strip` the length of stock for all of them, spares included."""

    joint: str
    thickness: Nm
    width: Nm
    length: Nm
    radius: Nm
    count: int
    spares: int
    strip: Nm


@dataclass(frozen=True, slots=True)
class MovingPanel:
    """A part that goes into the grooves of a cut, both by mark, and the room that its width has there."""

    mark: str
    cut: str
    room: PanelRoom


@dataclass(frozen=True, slots=True)
class HardwareNeed:
    """What is needed besides wood: so many of one thing in every unit, and in all."""

    name: str
    per_unit: int
    count: int
    note: str = ""


@dataclass(frozen=True, slots=True)
class Remark:
    """Something to look at: about which marks, and in words."""

    about: str
    text: str


@dataclass(frozen=True, slots=True)
class RunSheet:
    """The whole plan. `faults` are broken rules of the shop: the sheet is still given, but ought not to be cut."""

    job: str
    lengths: str
    settings: Settings
    runs: tuple[Run, ...]
    wood: Wood = field(default_factory=Wood)
    tenons: tuple[TenonStock, ...] = ()
    spacers: tuple[SpacerBlock, ...] = ()
    machines: tuple[MachineChanges, ...] = ()
    panels: tuple[MovingPanel, ...] = ()
    hardware: tuple[HardwareNeed, ...] = ()
    glue_ups: tuple[GlueUpTold, ...] = ()
    day: DayPlan | None = None
    faults: tuple[Remark, ...] = ()
    warnings: tuple[Remark, ...] = ()
    notes: tuple[str, ...] = ()

    def run(self, id_: str) -> Run | None:
        """The run of that id, None if the plan has none."""
        return next((run for run in self.runs if run.id == id_), None)


def plain_position(position: Position) -> str:
    """Where a stop stands, as it is told in ids and kept in the log: nm, degrees, or the name."""
    return str(position.degrees) if isinstance(position, Angle) else str(position)
