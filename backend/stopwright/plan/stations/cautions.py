"""What to take care of at a run: short cautions with their figures, where each comes from and how sure it is.

How sure: S seen in the source itself, C in a secondary copy, P common practice without source, M from memory.
Local rules, training and the maker's instructions come first; where two rules differ the stricter wins.
"""

from collections.abc import Callable
from dataclasses import dataclass

from stopwright.lengths import INCH, MM, Nm, Show, format_length
from stopwright.model.stations import Sets, Station, Work
from stopwright.plan.run_sheet import Form, Move, Run

FIRST_OF_ALL = "Local rules, your training and the maker's instructions come first; the stricter rule wins."


@dataclass(frozen=True, slots=True)
class Scene:
    """What a caution looks at: the station, whether a stop moves there, whether it is new, and sizes in nm.

    `shortest` and `narrowest` are of the workpieces as they are in hand, `lengths` those of all of them.
    """

    station: Station
    a_stop_moves: bool
    first_at_station: bool
    shortest: Nm
    narrowest: Nm
    lengths: tuple[Nm, ...] = ()


@dataclass(frozen=True, slots=True)
class Caution:
    """One rule in words. `figures` are lengths in nm, put into the braces of `text` as the shop shows them.

    Each is there twice: in millimetres, and in inches as the trade has it, so that no inch shop reads 11 13/16.
    """

    works: frozenset[Work]
    text: str
    source: str
    sure: str
    applies: Callable[[Scene], bool]
    figures: tuple[tuple[Nm, Nm], ...] = ()

    def words(self, show: Show) -> str:
        """The caution as shown, its figures in the shop's units."""
        return self.text.format(*(format_length(figure[show is not Show.MM], show) for figure in self.figures))


_SAW = frozenset({Work.RIP, Work.SQUARE, Work.CROSSCUT, Work.MITRE})
_ACROSS = frozenset({Work.SQUARE, Work.CROSSCUT, Work.MITRE})

_LONG: Nm = 10**12
_LAST_OF_A_RIP = (300 * MM, 12 * INCH)
_NARROW, _NARROWER = (150 * MM, 6 * INCH), (50 * MM, 2 * INCH)
_SHORT_TO_CUT = (152 * MM, 6 * INCH)
_SHORT_TO_MOULD = (300 * MM, 12 * INCH)
_SHORT_TO_JOINT, _TOO_SHORT_TO_JOINT = (400 * MM, 16 * INCH), (300 * MM, 12 * INCH)


def scene_of(run: Run, station: Station, first: bool) -> Scene:
    """The scene of a run: the workpieces as they are when they are taken, and what is cut off at its stops.

    A piece that passes the spindle may have its ends run as well, which are as long as the piece is wide.
    """
    targets = {stop.sets: stop.target for stop in run.stops if isinstance(stop.target, int)}
    lengths = [
        min(lot.length, lot.width) if run.work is Work.MOULD and lot.form is Form.PIECE else lot.length
        for lot in run.takes
    ]
    return Scene(
        station,
        any(stop.move is Move.SET for stop in run.stops),
        first,
        targets.get(Sets.LENGTH, min(lengths, default=_LONG)),
        targets.get(Sets.WIDTH, min((lot.width for lot in run.takes), default=_LONG)),
        tuple(lengths),
    )


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
        ((3 * MM, INCH // 8), (8 * MM, INCH * 5 // 16)),
    ),
    Caution(
        frozenset({Work.RIP}),
        "Push stick for the last {0} of every rip.",
        "HSE circular saw guidance",
        "S",
        lambda scene: scene.narrowest >= _NARROW[0],
        (_LAST_OF_A_RIP,),
    ),
    Caution(
        frozenset({Work.RIP}),
        "Strip under {0}: push stick at least {1} long, the whole way through.",
        "HSE circular saw guidance",
        "S",
        lambda scene: _NARROWER[0] <= scene.narrowest < _NARROW[0],
        (_NARROW, (450 * MM, 18 * INCH)),
    ),
    Caution(
        frozenset({Work.RIP}),
        "Strip under {0}: push block over the strip, hands well away.",
        "published pair of rules, secondary copy",
        "C",
        _narrower(_NARROWER[0]),
        (_NARROWER,),
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
        _shorter(_SHORT_TO_CUT[0]),
        (_SHORT_TO_CUT,),
    ),
    Caution(
        frozenset({Work.JOINT}),
        "Guard down to less than {0} above the work.",
        "HSE planing machine guidance",
        "S",
        _always,
        ((10 * MM, INCH * 3 // 8),),
    ),
    Caution(
        frozenset({Work.JOINT}),
        "Piece under {0}: feed tray or push blocks.",
        "BGHM 034",
        "S",
        lambda scene: any(_TOO_SHORT_TO_JOINT[0] <= one < _SHORT_TO_JOINT[0] for one in scene.lengths),
        (_SHORT_TO_JOINT,),
    ),
    Caution(
        frozenset({Work.JOINT}),
        "Piece under {0}: not over the jointer. True a longer piece and cut it afterwards.",
        "BGHM 034",
        "S",
        _shorter(_TOO_SHORT_TO_JOINT[0]),
        (_TOO_SHORT_TO_JOINT,),
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
        "Piece under {0}: work it in a holder; stopped work needs stops or a jig.",
        "HSE Wood Information Sheet 18, secondary copy, for short pieces; the figure is common practice",
        "C/P",
        _shorter(_SHORT_TO_MOULD[0]),
        (_SHORT_TO_MOULD,),
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
