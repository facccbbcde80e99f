"""What to take care of at a run: short cautions with their figures, where each comes from and how sure it is.

How sure: S seen in the source itself, C in a secondary copy, P common practice without source, M from memory.
Local rules, training and the maker's instructions come first; where two rules differ the stricter wins. Here stand
those that belong to more than one operation.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import INCH, MM, Nm, Show, format_length
from stopwright.model.joints import ENDS
from stopwright.model.stations import Station
from stopwright.plan.run_sheet import Move, Run

FIRST_OF_ALL = "Local rules, your training and the maker's instructions come first; the stricter rule wins."

_LONG: Nm = 10**12

Figure: TypeAlias = tuple[Nm, Nm]
"""A length in millimetres, and in inches as the trade has it, both in nm."""


@dataclass(frozen=True, slots=True)
class Scene:
    """What a caution looks at: the run with the workpieces as they are in hand, its station, and whether it is new.

    `inches` says which of the two figures of a caution is shown: that one decides. `stays_turned`: the sheet leaves
    gauge or blade as this run has turned it.
    """

    run: Run
    station: Station
    first_at_station: bool
    inches: bool = False
    stays_turned: bool = False

    @property
    def a_stop_moves(self) -> bool:
        """Whether a stop is set."""
        return any(stop.move is Move.SET for stop in self.run.stops)

    @property
    def lengths(self) -> tuple[Nm, ...]:
        """How long the workpieces are, nm."""
        return tuple(lot.length for lot in self.run.takes)

    @property
    def shortest(self) -> Nm:
        """The length that is cut off at a stop, else the shortest workpiece, nm."""
        return self._target("length", min(self.lengths, default=_LONG))

    @property
    def narrowest(self) -> Nm:
        """The width that is ripped, else the narrowest workpiece, nm."""
        return self._target("width", min((lot.width for lot in self.run.takes), default=_LONG))

    def _target(self, sets: str, otherwise: Nm) -> Nm:
        targets = (stop.target for stop in self.run.stops if stop.sets == sets and isinstance(stop.target, int))
        return next(targets, otherwise)


@dataclass(frozen=True, slots=True)
class Caution:
    """One rule in words. `figures` are lengths in nm, put into the braces of `text` as the shop shows them.

    Each is there twice: in millimetres, and in inches as the trade has it, so that no inch shop reads 11 13/16.
    """

    text: str
    source: str
    sure: str
    applies: Callable[[Scene], bool]
    figures: tuple[Figure, ...] = ()

    def words(self, show: Show) -> str:
        """The caution as shown, its figures in the shop's units."""
        return self.text.format(*(format_length(figure[show is not Show.MM], show) for figure in self.figures))


def always(_: Scene) -> bool:
    """At every run."""
    return True


def at_first(scene: Scene) -> bool:
    """At the first run of a station."""
    return scene.first_at_station


def with_a_blade(scene: Scene) -> bool:
    """At a saw that cuts into the wood, the height of its blade set."""
    return any(stop.sets == "blade height" for stop in scene.run.stops)


def with_a_cutter(scene: Scene) -> bool:
    """At a spindle, its height set."""
    return any(stop.sets == "spindle height" for stop in scene.run.stops)


def stands_on_its_end(scene: Scene) -> bool:
    """Where a piece stands upright."""
    return any(pieces.down in ENDS for pieces in scene.run.pieces)


def shorter_than(limit: Figure) -> Callable[[Scene], bool]:
    """Where what is cut off, or the workpiece, is shorter than that."""
    return lambda scene: scene.shortest < limit[scene.inches]


def narrower_than(limit: Figure) -> Callable[[Scene], bool]:
    """Where what is ripped, or the workpiece, is narrower than that."""
    return lambda scene: scene.narrowest < limit[scene.inches]


_SHORT_TO_CUT: Figure = (152 * MM, 6 * INCH)

STOP_MOVES = Caution(
    "Stop the machine, wait until it stands still, then isolate it; only then move a stop. Guards back on before "
    "the trial cut.",
    "HSE woodworking questions and answers; WorkSafe New Zealand",
    "S",
    lambda scene: scene.a_stop_moves,
)
SAW_NOISE = Caution(
    "Hearing protection on: saws make 97 to 102 dB(A). Extraction on: hardwood dust has a limit of 3 mg/m³.",
    "HSE woodworking pages on noise and dust",
    "S",
    at_first,
)
RIVING_KNIFE = Caution(
    "Riving knife {0} to {1} from the teeth; thicker than the blade's plate, thinner than its kerf.",
    "HSE ripsaw page (8 mm); EN 1870-1, secondary copy (3 to 8 mm)",
    "S/C",
    at_first,
    ((3 * MM, INCH // 8), (8 * MM, INCH * 5 // 16)),
)
FENCE_AND_STOP = Caution(
    "Never fence and crosscut stop together: the fence, or a block on it, ends before the blade, so that the "
    "cut-off lies free.",
    "HSE circular saw guidance",
    "S",
    always,
)
SHORT_TO_CUT = Caution(
    "Piece under {0}: hold it with a clamp or in a jig, not by hand.",
    "training sheet, secondary copy",
    "C",
    shorter_than(_SHORT_TO_CUT),
    (_SHORT_TO_CUT,),
)

COMBS = Caution(
    "Where no guard fits (grooving, rebating, tenoning): combs or a jig at hand and in place.",
    "California Code of Regulations, title 8, section 4296(a)",
    "S",
    always,
)
DUST = Caution(
    "Wipe the stop before every piece: dust there shifts every piece. Measure one piece in ten again.",
    "common practice",
    "P",
    lambda scene: any(stop.sets in ("length", "end stop left", "end stop right") for stop in scene.run.stops),
)

IN_A_TUNNEL = Caution(
    "The blade does not come through the wood: only with other effective guarding, such as pressure pads that make a "
    "tunnel; a spindle is the better machine.",
    "HSE Wood Information Sheet 16, copy of the sheet",
    "S",
    with_a_blade,
)
HELD_WITHOUT_GUARD = Caution(
    "The blade does not come through the wood: hold the piece and put other guarding; refit the guard at once.",
    "HSE Wood Information Sheet 16, copy of the sheet; J. Gorman, circular saw bench safety",
    "S",
    with_a_blade,
)
STRIP_FALLS_FREE = Caution(
    "The strip must fall free, never between blade and fence.",
    "manual of a table saw",
    "S",
    lambda scene: with_a_blade(scene) and any(stop.sets == "width" for stop in scene.run.stops),
)
STANDS_IN_A_JIG = Caution(
    "A piece that stands on its end is clamped in a jig that runs along the fence.",
    "manual of a tenoning jig",
    "S",
    stands_on_its_end,
)
END_GRAIN_WITH_A_BACKER = Caution(
    "False fence and pressure pads on; end grain in a jig with a backer.",
    "HSE Wood Information Sheet 18, copy of the sheet; the backer is common practice",
    "S/P",
    with_a_cutter,
)

BACK_TO_SQUARE = Caution(
    "Nothing later on this sheet needs the saw square: set gauge and blade back when this run is done.",
    "common practice",
    "P",
    lambda scene: scene.stays_turned,
)

AT_A_CUT = (STOP_MOVES, COMBS, DUST)
AT_A_SAW = (STOP_MOVES, SAW_NOISE, RIVING_KNIFE)
ACROSS_AT_A_SAW = (*AT_A_SAW, FENCE_AND_STOP, SHORT_TO_CUT)
