"""What to take care of at a run: short cautions with their figures, where each comes from and how sure it is.

How sure: S seen in the source itself, C in a secondary copy, P common practice without source, M from memory.
Local rules, training and the maker's instructions come first; where two rules differ the stricter wins.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from stopwright.lengths import MM, Nm, Show, format_length
from stopwright.model.parts import Part
from stopwright.model.stations import Station, Work

FIRST_OF_ALL = "Local rules, your training and the maker's instructions come first; the stricter rule wins."


@dataclass(frozen=True, slots=True)
class Scene:
    """What a caution looks at: station, parts, whether a stop moves, whether the station is new. Lengths in nm."""

    station: Station
    parts: Sequence[Part]
    a_stop_moves: bool
    first_at_station: bool

    @property
    def shortest(self) -> Nm:
        """Length of the shortest piece, nm."""
        return min((part.length for part in self.parts), default=10**12)

    @property
    def narrowest(self) -> Nm:
        """Width of the narrowest piece, nm."""
        return min((part.width for part in self.parts), default=10**12)


@dataclass(frozen=True, slots=True)
class Caution:
    """One rule in words. `figures` are lengths in nm, put into the braces of `text` as the shop shows them."""

    works: frozenset[Work]
    text: str
    source: str
    sure: str
    applies: Callable[[Scene], bool]
    figures: tuple[Nm, ...] = ()

    def words(self, show: Show) -> str:
        """The caution as shown, its figures in the shop's units."""
        return self.text.format(*(format_length(figure, show) for figure in self.figures))


_SAW = frozenset({Work.RIP, Work.SQUARE, Work.CROSSCUT, Work.MITRE})
_ACROSS = frozenset({Work.SQUARE, Work.CROSSCUT, Work.MITRE})


def _always(_: Scene) -> bool:
    return True


def _first(scene: Scene) -> bool:
    return scene.first_at_station


def _shorter(limit: Nm) -> Callable[[Scene], bool]:
    return lambda scene: scene.shortest < limit


def _narrower(limit: Nm) -> Callable[[Scene], bool]:
    return lambda scene: scene.narrowest < limit


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        frozenset(Work),
        "Stop the machine, wait until it stands still, then isolate it; only then move a stop. Guards back on before "
        "the trial cut.",
        "HSE woodworking questions and answers; WorkSafe New Zealand",
        "S",
        lambda scene: scene.a_stop_moves,
    ),
    Caution(
        _SAW,
        "Hearing protection on: saws make 97 to 102 dB(A). Extraction on: hardwood dust has a limit of 3 mg/m³.",
        "HSE woodworking pages on noise and dust",
        "S",
        _first,
    ),
    Caution(
        _SAW,
        "Riving knife {0} to {1} from the teeth; thicker than the blade's plate, thinner than its kerf.",
        "HSE ripsaw page (8 mm); EN 1870-1, secondary copy (3 to 8 mm)",
        "S/C",
        _first,
        (3 * MM, 8 * MM),
    ),
    Caution(
        frozenset({Work.RIP}),
        "Push stick for the last {0} of every rip.",
        "HSE circular saw guidance",
        "S",
        lambda scene: scene.narrowest >= 150 * MM,
        (300 * MM,),
    ),
    Caution(
        frozenset({Work.RIP}),
        "Strip under {0}: push stick at least {1} long, the whole way through.",
        "HSE circular saw guidance",
        "S",
        lambda scene: 50 * MM <= scene.narrowest < 150 * MM,
        (150 * MM, 450 * MM),
    ),
    Caution(
        frozenset({Work.RIP}),
        "Strip under {0}: push block over the strip, hands well away.",
        "published pair of rules, secondary copy",
        "C",
        _narrower(50 * MM),
        (50 * MM,),
    ),
    Caution(
        _ACROSS,
        "Never fence and crosscut stop together: the fence, or a block on it, ends before the blade, so that the "
        "cut-off lies free.",
        "HSE circular saw guidance",
        "S",
        _always,
    ),
    Caution(
        _ACROSS,
        "Piece under {0}: hold it with a clamp or in a jig, not by hand.",
        "training sheet, secondary copy",
        "C",
        _shorter(152 * MM),
        (152 * MM,),
    ),
    Caution(
        frozenset({Work.JOINT}),
        "Guard down to less than {0} above the work.",
        "HSE planing machine guidance",
        "S",
        _always,
        (10 * MM,),
    ),
    Caution(
        frozenset({Work.JOINT}),
        "Piece under {0}: feed tray or push blocks.",
        "BGHM 034",
        "S",
        lambda scene: 300 * MM <= scene.shortest < 400 * MM,
        (400 * MM,),
    ),
    Caution(
        frozenset({Work.JOINT}),
        "Piece under {0}: not over the jointer. True a longer piece and cut it afterwards.",
        "BGHM 034",
        "S",
        _shorter(300 * MM),
        (300 * MM,),
    ),
    Caution(
        frozenset({Work.PLANE}),
        "Never look into the infeed. Pieces of unequal thickness go one at a time. Half from each face.",
        "BGHM Kompakt 041",
        "S",
        _always,
    ),
    Caution(
        frozenset({Work.PLANE}),
        "Piece shorter than the feed rollers are apart: plane it while it is long, or ends held in a carrier.",
        "BGHM Kompakt 041",
        "S",
        lambda scene: scene.shortest < scene.station.rollers,
    ),
    Caution(
        frozenset({Work.MOULD}),
        "Only tooling marked MAN for hand feed. False fence and pressure pads on; set the spindle at standstill only.",
        "HSE spindle moulder guidance",
        "S",
        _always,
    ),
    Caution(
        frozenset({Work.MOULD}),
        "Short piece: work it in a holder; stopped work needs stops or a jig.",
        "HSE Wood Information Sheet 18, secondary copy",
        "C",
        _shorter(300 * MM),
    ),
    Caution(
        frozenset({Work.MORTISE}),
        "Clamp the piece before the motor starts; change a setting at standstill only.",
        "SafeWork New South Wales machine sheet",
        "S",
        _always,
    ),
)


def cautions_for(work: Work, scene: Scene, show: Show) -> tuple[str, ...]:
    """The cautions that apply to a run, most general first, figures in the shop's units."""
    return tuple(caution.words(show) for caution in CAUTIONS if work in caution.works and caution.applies(scene))
