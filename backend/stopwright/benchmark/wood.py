"""Boards and sheets: published cutting and packing instances, against their best known values."""

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any

from stopwright.benchmark.figures import Figure
from stopwright.benchmark.instances import published, within
from stopwright.benchmark.yardstick import timed
from stopwright.plan.cutting import lay_out_boards, lay_out_sheets
from stopwright.plan.programs import Column, solve_whole

ROLLS = (
    (1380, 22), (1520, 25), (1560, 12), (1710, 14), (1820, 18), (1880, 18), (1930, 20), (2000, 10), (2050, 12),
    (2100, 14), (2140, 16), (2150, 18), (2200, 20),
)  # fmt: skip
"""The worked example of 5600 wide rolls: 73 rolls, at least 10 patterns (encyclopaedia article, secondary copy)."""

BOARD_GROUPS = {
    "shop": 0.5, "U-120": 0.5, "U-250": 0.5, "U-500": 0.5, "U-1000": 0.5, "T-60": 5.0, "T-120": 5.0, "T-249": 10.0,
    "T-501": 10.0, "H": 10.0,
}  # fmt: skip
"""Groups of bin packing instances (Falkenauer; Hard28; lists like a shop's) and the seconds each may take."""


def measure_boards(quick: bool, yardstick: float) -> Iterator[Figure]:
    """Boards above the bound and slowest instance, group by group; the worked example; a general solver beside it."""
    rows = published("bpp")
    for group, seconds in BOARD_GROUPS.items():
        here = [row for row in rows if row["group"] == group][: 2 if quick else None]
        if here:
            found = [_boards(row) for row in here]
            above = max(used - least for used, least, _ in found)
            allowed = 1 if group in ("T-249", "T-501", "H") else 0
            yield Figure(f"boards {group}: above the bound, most", above, "", allowed, f"{len(here)} instances")
            yield Figure(f"boards {group}: slowest", max(took for *_, took in found), "s", seconds)
    plan, took = timed(lambda: lay_out_boards(ROLLS, [(5600, None)], kerf=0))
    yield Figure("rolls of 5600: rolls", plan.boards_used, "", 73)
    yield Figure("rolls of 5600: patterns", len(plan.layouts), "", 10)
    yield Figure("rolls of 5600", took, "s", 10)
    yield from _against_general_solver(took, yardstick)


def measure_sheets(quick: bool, yardstick: float) -> Iterator[Figure]:
    """Sheets against the best known, guillotine and two-stage, each instance within a yardstick."""
    rows = published("guillotine")[:: 10 if quick else 1]
    if not rows:
        return
    used = sum(_sheets(row, 3, yardstick)[0] for row in rows)
    best = sum(row["best_known_guillotine"] for row in rows)
    yield Figure("sheets, guillotine: gap to best known", 100 * (used / best - 1), "%", 0.5, f"{used} against {best}")
    strips = [row for row in rows if row["two_stage_best"] is not None]
    proofs = sum(_sheets(row, 2, yardstick)[1] for row in strips)
    known = sum(bool(row["two_stage_proven"]) for row in strips)
    yield Figure("sheets, two stages: proofs fewer than known", max(0, known - proofs), "", 0, f"{proofs} of {known}")


def _boards(row: dict[str, Any]) -> tuple[int, int, float]:
    kerf = Fraction(str(row["kerf"]))
    scale = kerf.denominator
    pieces = [(int(Fraction(str(length)) * scale), count) for length, count in Counter(row["items"]).items()]
    boards = [(int(Fraction(str(row["capacity"])) * scale), None)]
    plan, took = timed(lambda: lay_out_boards(pieces, boards, kerf=int(kerf * scale)))
    return plan.boards_used, plan.least_possible, took


def _sheets(row: dict[str, Any], stages: int, seconds: float) -> tuple[int, bool]:
    pieces = [(length, width, count, row["rotation"]) for length, width, count in row["items"]]
    sheets: Sequence[tuple[int, int, int | None]] = [(row["W"], row["H"], None)]
    plan = lay_out_sheets(
        pieces, sheets, kerf=row["kerf"], stages=2 if stages == 2 else 3, effort=within(seconds), along="either"
    )
    return plan.sheets_used, plan.proven


def _against_general_solver(ours: float, yardstick: float) -> Iterator[Figure]:
    """The rolls as the plain model (how many of each width from each roll), given to HiGHS for ten seconds."""
    rolls = 75
    bounds: list[tuple[float, float]] = [(count, float("inf")) for _, count in ROLLS]
    bounds += [(-float("inf"), 0.0)] * rolls
    columns = [Column(1.0, ((len(ROLLS) + roll, -5600.0),), 1.0) for roll in range(rolls)]
    columns += [
        Column(0.0, ((line, 1.0), (len(ROLLS) + roll, float(width))))
        for roll in range(rolls)
        for line, (width, _) in enumerate(ROLLS)
    ]
    found, took = timed(lambda: solve_whole(columns, bounds, within(10 * yardstick)))
    rolls_found = "none" if found.values is None else str(sum(found.values[:rolls]))
    said = f"{rolls_found} rolls, bound {found.bound:.1f}, {'done' if found.complete else 'stopped'}"
    yield Figure("rolls of 5600: HiGHS time / ours", took / ours, "×", note=said)
