"""Builders of small run sheets for the tests of paper."""

from dataclasses import replace

from stopwright.lengths import MM
from stopwright.model.joints import Side
from stopwright.plan.run_sheet import (
    Cut,
    Layout,
    Move,
    Pieces,
    Placement,
    Remark,
    Rest,
    Run,
    RunSheet,
    Settings,
    Spacer,
    SpacerBlock,
    Stop,
    TenonStock,
    ToBuy,
    Wood,
)

STANDSTILL = "Stop the blade, wait until it stands, then move the stop."


def stop(axis: str, sets: str, at: float, move: Move = Move.SET, residual: float = 0) -> Stop:
    return Stop(axis, sets, round(at * MM), round((at + residual) * MM), move, round(residual * MM), 3 * MM // 10)


def planing() -> Run:
    return Run(
        1,
        "planer",
        "plane",
        (stop("height", "thickness", 38),),
        (Pieces("A", "Leg", 24),),
        ("Never look into the infeed.",),
        minutes=6.5,
    )


def ripping() -> Run:
    fence = stop("rip fence", "width", 59.75, residual=0.25)
    return Run(2, "saw", "rip", (fence,), (Pieces("B", "Upper rail", 24),), (STANDSTILL,), minutes=8)


def crosscut() -> Run:
    stops = (stop("near flip stop", "length", 244), stop("far flip stop", "length", 450, Move.STANDS))
    pieces = (Pieces("B", "Upper rail", 24), Pieces("C", "Lower rail", 12))
    return Run(3, "saw", "crosscut", stops, pieces, (STANDSTILL,), minutes=12)


def mortising() -> Run:
    stops = (
        stop("bit", "bit", 8, Move.STANDS),
        stop("table height", "table height", 14),
        stop("depth", "depth", 19),
        stop("travel from", "travel from", 18),
        stop("travel to", "travel to", 42),
        Stop("left end stop", "end stop left", 100 * MM, 100 * MM, Move.SET, to_mark="mark 3 on master A"),
    )
    pieces = (
        Pieces("A", "Leg", 12, Side.FAR_EDGE, Side.FACE, "marked end", "right"),
        Pieces("A", "Leg", 12, Side.BACK, Side.EDGE, "marked end", "left", mirrored=True),
    )
    spacer = Spacer(3 * MM, 1, "under the rail")
    return Run(4, "mortiser", "mortise", stops, pieces, ("Clamp before starting.",), spacer, 30)


def board_layout() -> Layout:
    legs = tuple(Placement("A", (5 + 478 * n) * MM, 5 * MM, 475 * MM, 44 * MM) for n in range(4))
    cuts = (
        Cut(1, "rip", 49 * MM, 0, 2400 * MM),
        *(Cut(2 + n, "crosscut", (480 + 478 * n) * MM, 0, 49 * MM) for n in range(4)),
    )
    left = (Rest("", 1930 * MM, 0, 470 * MM, 180 * MM), Rest("", 0, 52 * MM, 1930 * MM, 128 * MM))
    return Layout(0, "ash", 2400 * MM, 180 * MM, 45 * MM, 3, legs, cuts, left)


def sheet() -> RunSheet:
    wood = Wood(3, 3, True, (board_layout(),), (ToBuy("D", "birch plywood", 6, 380 * MM, 380 * MM, 18 * MM),), 12)
    tenon = TenonStock("J1", 7_900_000, 31_200_000, 40_800_000, 3_950_000, 48, 3, 2_240 * MM)
    return RunSheet(
        job="Six bakery stools",
        lengths="mm",
        settings=Settings(9, 9, True, 7.5),
        runs=(planing(), ripping(), crosscut(), mortising()),
        wood=wood,
        tenons=(tenon,),
        spacers=(SpacerBlock(3 * MM, 2, "under the piece"),),
        warnings=(Remark("B, C", "differ by 0.4 mm in width. Meant to be the same?"),),
        notes=("Crosscut the plywood before ripping it.",),
    )


def faulty_sheet() -> RunSheet:
    return replace(sheet(), faults=(Remark("A", "450 mm is longer than the saw reaches (400 mm)"),))
