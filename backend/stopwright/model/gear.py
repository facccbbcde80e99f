"""Gear of a station: what it has, or what is on hand for it, that its work needs to know besides its stops.

Each operation names the gear it needs. The fields carry the words of the shop's page (`asked`), and stand in the table
of their station in a shop file.
"""

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import ClassVar

from stopwright.errors import Inconsistent, Problem
from stopwright.lengths import Nm
from stopwright.model.cuts import asked

MOST_CALIBRATED: Nm = 1_000_000
"""What is left for calibrating at the most, nm; 0.2 to 0.4 mm is usual (common practice)."""
FINEST_PASS: Nm = 20_000
"""A pass of a sander finer than this, nm, is not set by hand (common practice)."""


@dataclass(frozen=True, slots=True)
class MakingReady:
    """What is usually done with gear of a machine that is several stations: when its station is left, and begun with.

    In words of the trade (common practice; handbook of the trade, 31.2): a shop has its own words in their place.
    """

    off: tuple[str, ...] = ()
    cover: tuple[str, ...] = ()
    on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """One kind of gear; every field has a default, lengths in nm. Raises Inconsistent with every field at fault."""

    ready: ClassVar[MakingReady] = MakingReady()

    def __post_init__(self) -> None:
        problems = list(self.problems())
        if problems:
            raise Inconsistent("gear", problems)

    def problems(self) -> Iterator[Problem]:
        """What cannot be: a length below 0, a size of 0 among those on hand."""
        for field in fields(self):
            value = getattr(self, field.name)
            if isinstance(value, int) and value < 0:
                yield Problem(field.name, "must not be negative", "write 0 or more")
            if isinstance(value, tuple) and any(isinstance(one, int) and one <= 0 for one in value):
                yield Problem(field.name, "one of 0", "write the sizes that are on hand")


@dataclass(frozen=True, slots=True, kw_only=True)
class Blade(Gear):
    """The blade of a saw: what a cut takes away, what the first cut at a rough end takes, what it is called."""

    ready: ClassVar[MakingReady] = MakingReady(
        off=("guard and riving knife",),
        cover=("the blade, lowered below the table",),
        on=("blade, riving knife and guard",),
    )
    kerf: Nm = asked("Kerf", "what one cut takes away; measure it, do not believe the box", 0)
    trim: Nm = asked("Trim", "the first cut at an end or a factory edge", 0)
    blade: str = asked("Blade on it now", "a name for it: kerf and zeros are remembered by blade", "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Throat(Gear):
    """How wide a workpiece passes through a planer or drum sander."""

    widest: Nm | None = asked("Widest", "the widest that passes; empty: not known", None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Knives(Gear):
    """The knives of a jointer or planer."""

    ready: ClassVar[MakingReady] = MakingReady(cover=("the cutterblock over its whole length",))
    greatest_cut: Nm = asked("Greatest cut", "the most that one pass takes off", 1_600_000)

    def problems(self) -> Iterator[Problem]:
        """A pass that takes nothing off."""
        if self.greatest_cut <= 0:
            yield Problem("greatest_cut", "is 0", "write the most that one pass may take off")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sander(Gear):
    """A drum or wide-belt sander that brings planed wood to its finished thickness (handbook of the trade, 28; P)."""

    ready: ClassVar[MakingReady] = MakingReady(cover=("the drum, its lid shut",))
    calibrating: Nm = asked("Left for calibrating", "how much thicker the planer leaves it, 0.2 to 0.4 mm", 300_000)
    greatest_pass: Nm = asked("Greatest pass", "the most that one pass sands off, 0.2 to 0.3 mm", 200_000)

    def problems(self) -> Iterator[Problem]:
        """An allowance of nothing, or of what is the planer's work; a pass finer than anyone can set."""
        if self.calibrating <= 0:
            step = "write what the planer is to leave, 0.2 to 0.4 mm, or take calibrate out of its work"
            yield Problem("calibrating", "is not above 0", step)
        elif self.calibrating > MOST_CALIBRATED:
            step = "leave 0.2 to 0.4 mm, at most 1 mm; the planer takes off the rest"
            yield Problem("calibrating", "is more than is sanded off", step)
        if self.greatest_pass < FINEST_PASS:
            yield Problem("greatest_pass", "is finer than can be set", "write the most that one pass sands off, 0.2 mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables(Gear):
    """The tables of a jointer."""

    ready: ClassVar[MakingReady] = MakingReady(
        off=("the jointing fence, where it is in the way",),
        on=("jointing fence and bridge guard, the tables down and locked",),
    )
    longest: Nm | None = asked("Longest board", "that it makes true; longer ones are broken down; empty: any", None)

    def problems(self) -> Iterator[Problem]:
        """Tables that take nothing."""
        if self.longest is not None and self.longest <= 0:
            yield Problem("longest", "is 0", "write the longest board that it makes true, or leave it out")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rollers(Gear):
    """The feed rollers of a planer."""

    ready: ClassVar[MakingReady] = MakingReady(
        off=("the hood, after the planing table is lowered",), on=("the hood, the jointer tables up",)
    )
    rollers: Nm = asked("Distance between feed rollers", "no shorter piece goes through", 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class EndStops(Gear):
    """The end stops of a slot mortiser: how the right one is read, and the travel of pieces that lie at it."""

    one_scale: bool = asked(
        "One lateral scale",
        "for both end stops and the travel, from left to right; else the right stop counts its own way",
        False,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotBits(Gear):
    """The bits of a slot mortiser, how deep they go, and how long a piece must be to be clamped."""

    ready: ClassVar[MakingReady] = MakingReady(
        off=("the bit out of its chuck, before the cutterblock turns again",), on=("mortising table", "bit")
    )
    bits: tuple[Nm, ...] = asked("Bits on hand", "diameters, with ; between them", ())
    reach: Nm | None = asked("Reach", "the deepest slot; empty: as deep as wanted", None)
    rollers: Nm = asked("Least length to clamp", "shorter pieces are warned about", 0)

    def problems(self) -> Iterator[Problem]:
        """A reach of nothing, besides what no gear may have."""
        yield from Gear.problems(self)
        if self.reach is not None and self.reach <= 0:
            yield Problem("reach", "is 0", "write how deep it bores, or leave it out")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutters(Gear):
    """The cutters of a spindle."""

    ready: ClassVar[MakingReady] = MakingReady(
        off=("cutter and spindle fence",),
        cover=("the spindle, lowered, the ring of the table in",),
        on=("spindle fence and guard", "cutter"),
    )
    cutters: tuple[str, ...] = asked("Cutters on hand", "their names, with ; between them", ())


@dataclass(frozen=True, slots=True, kw_only=True)
class GroovingTools(Gear):
    """Heads and discs for grooves; of a spindle also how far their rim stands from the axis."""

    tools: tuple[Nm, ...] = asked("Grooving tools on hand", "their widths, with ; between them", ())
    tool_radius: Nm = asked("Radius of the grooving tool", "axis to rim, for stopped grooves", 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Discs(Gear):
    """Pairs of equal discs for the spindle, and the rings that go between the two of a pair."""

    discs: tuple[Nm, ...] = asked("Pairs of discs on hand", "how wide one of each pair cuts, with ; between them", ())
    rings: tuple[Nm, ...] = asked("Rings for discs on hand", "their thicknesses, with ; between them", ())
    disc_teeth: Nm = asked("Teeth beyond the bodies", "how far those of both discs reach into the gap, in all", 0)
    disc_reach: Nm | None = asked("Reach of the discs", "from ring to rim; empty: as deep as wanted", None)

    def problems(self) -> Iterator[Problem]:
        """A reach of nothing, besides what no gear may have."""
        yield from Gear.problems(self)
        if self.disc_reach == 0:
            yield Problem("disc_reach", "is 0", "write how far the discs reach beyond their rings, or leave it out")


@dataclass(frozen=True, slots=True, kw_only=True)
class Drills(Gear):
    """The drills of a borer."""

    ready: ClassVar[MakingReady] = MakingReady(off=("the drill",), on=("the drill",))
    drills: tuple[Nm, ...] = asked("Drills on hand", "diameters, with ; between them; empty: any", ())
