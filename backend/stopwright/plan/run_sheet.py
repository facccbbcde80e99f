"""The run sheet: every run in order with its stops, pieces and cautions. What `make_plan` returns."""

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.joints import Side
from stopwright.model.stations import Sets, Work


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


@dataclass(frozen=True, slots=True)
class Stop:
    """One stop a run depends on.

    `target` is the true position, `reading` what the scale shows there, `residual` = reading − zero − target
    (what the nearest graduation is off by), `tolerance` ± what the strictest part of the run allows; nm.
    `to_mark` names the mark on the master piece where the axis has no scale (the reading is then the target).
    """

    axis: str
    sets: Sets
    target: Position
    reading: Position
    move: Move
    residual: Nm = 0
    tolerance: Nm | None = None
    to_mark: str = ""


@dataclass(frozen=True, slots=True)
class Spacer:
    """A block put between piece and stop, or under the piece: how thick (nm), how many, and where."""

    thickness: Nm
    count: int
    place: str


@dataclass(frozen=True, slots=True)
class SpacerBlock:
    """Blocks to make before the runs that use them: so many of one thickness in nm, and for what."""

    thickness: Nm
    count: int
    use: str


@dataclass(frozen=True, slots=True)
class Pieces:
    """How many pieces of a part are worked in a run; the sides are given at the mortiser.

    `mirrored` marks the half of a handed pair whose marked end lies at the other hand. `at` is "left" or "right".
    """

    mark: str
    name: str
    count: int
    slotted: Side | None = None
    down: Side | None = None
    reference: str = ""
    at: str = ""
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Run:
    """The pieces worked at one combination of settings. `minutes` is the estimate of setting, working and carrying."""

    number: int
    station: str
    work: Work
    stops: tuple[Stop, ...]
    pieces: tuple[Pieces, ...]
    cautions: tuple[str, ...] = ()
    spacer: Spacer | None = None
    minutes: float = 0.0
    note: str = ""
    lot: str = ""

    @property
    def key(self) -> str:
        """What names this run whatever its number: station, work, and where its stops stand.

        `lot` tells runs apart that are alike in all of these: the sizes worked part by part.
        """
        stands = ",".join(f"{stop.axis}={_plain(stop.target)}" for stop in self.stops)
        spacer = f"|spacer={self.spacer.count}x{self.spacer.thickness}" if self.spacer else ""
        return f"{self.station}|{self.work}|{stands}{spacer}" + (f"|{self.lot}" if self.lot else "")

    @property
    def count(self) -> int:
        """How many pieces are worked in all."""
        return sum(pieces.count for pieces in self.pieces)


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
class Cut:
    """One cut of a layout, numbered as the saw makes it: along the length ("rip") or across it ("crosscut"), nm."""

    number: int
    work: Work
    position: Nm
    start: Nm
    end: Nm


@dataclass(frozen=True, slots=True)
class Layout:
    """How one board or sheet is cut, `times` over. `stock` indexes the job's stock rows; sizes in nm."""

    stock: int
    material: str
    length: Nm
    width: Nm
    thickness: Nm
    times: int
    placements: tuple[Placement, ...]
    cuts: tuple[Cut, ...] = ()
    offcuts: tuple[Placement, ...] = ()


@dataclass(frozen=True, slots=True)
class ToBuy:
    """Rough wood that is not on hand: blanks of one material and thickness. Volume from rough sizes, nm."""

    mark: str
    material: str
    count: int
    length: Nm
    width: Nm
    thickness: Nm


@dataclass(frozen=True, slots=True)
class Wood:
    """Layouts over all wood on hand, and what must be bought besides."""

    boards_used: int = 0
    least_possible: int = 0
    proven: bool = True
    layouts: tuple[Layout, ...] = ()
    to_buy: tuple[ToBuy, ...] = ()
    touches: int = 0


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
    faults: tuple[Remark, ...] = ()
    warnings: tuple[Remark, ...] = ()
    notes: tuple[str, ...] = ()

    def run(self, key: str) -> Run | None:
        """The run of that key, None if the plan has none."""
        return next((run for run in self.runs if run.key == key), None)


def _plain(position: Position) -> str:
    return str(position.degrees) if isinstance(position, Angle) else str(position)
