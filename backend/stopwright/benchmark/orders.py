"""Orders of runs: published instances of the tool switching problem, and widths and lengths on two axes."""

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise
from statistics import mean, median
from typing import Any

from stopwright.benchmark.figures import Figure
from stopwright.benchmark.instances import published, within
from stopwright.benchmark.yardstick import timed
from stopwright.plan.ordering import Axis, Order, order_runs
from stopwright.plan.ordering.flip_stops import stops_needed
from stopwright.plan.programs import Column, solve_whole

EXACT, SEARCHED = ("A", "B"), ("C", "D")


def measure_orders(quick: bool, yardstick: float) -> Iterator[Figure]:
    """Proofs and times on one axis, gaps of the search, and the two axes of a sliding table."""
    rows = published("ssp")
    small = _some([row for row in rows if row["group"][0] in EXACT], quick)
    large = _some([row for row in rows if row["group"][0] in SEARCHED], quick)
    if small:
        found = [timed(partial(_order, row, 10 * yardstick)) for row in small]
        yield Figure("order A, B: not proven", sum(not order.proven for order, _ in found), "", 0)
        yield Figure("order A, B: slowest", max(took for _, took in found), "s", 2)
        yield Figure("order A, B: median", median(took for _, took in found), "s", 0.15)
        yield from _against_general_solver(small, yardstick)
    for seconds, allowed in ((1.0, 3.0), (10.0, 0.5)):
        if large and not (quick and seconds > 1):
            orders = [_order(row, seconds * yardstick) for row in large]
            gaps = [100 * (o.settings / row["best_known_settings"] - 1) for o, row in zip(orders, large, strict=True)]
            below = [100 * (1 - found.least_possible / found.settings) for found in orders]
            yield Figure(f"order C, D: gap in {seconds:.0f} s", mean(gaps), "%", allowed, f"{len(gaps)} instances")
            yield Figure(f"order C, D: bound below the order in {seconds:.0f} s", mean(below), "%")
    yield from _two_axes(_some(published("two_axis"), quick), yardstick)


def _two_axes(rows: Sequence[dict[str, Any]], yardstick: float) -> Iterator[Figure]:
    wrong, slowest = 0, 0.0
    for row in rows:
        if row["distinct_widths"] <= 18 and row["min_stops_all_once"] is not None:
            needed, took = timed(partial(stops_needed, [tuple(pair) for pair in row["pairs"]]))
            wrong += needed != row["min_stops_all_once"]
            slowest = max(slowest, took)
    if not rows:
        return
    yield Figure("two axes: flip stops needed, wrong", wrong, "", 0)
    yield Figure("two axes: flip stops needed, slowest", slowest, "s", 0.5)

    def unproven(rows: Sequence[dict[str, Any]], yardsticks: float) -> int:
        return sum(not _pairs(row, yardsticks * yardstick).proven for row in rows)

    short = [row for row in rows if len(row["pairs"]) <= 20]
    yield Figure("two axes, ≤ 20 pairs: not proven in 2 s", unproven(short, 2), "", 0)
    single = [row for row in rows if row["crosscut_stops"] == 1]
    yield Figure("two axes, one stop: not proven in 10 s", unproven(single, 10), "", 0)
    long = [row for row in rows if len(row["pairs"]) >= 50]
    for yardsticks, allowed in ((2, 1), (10, 0)):
        gaps = [100 * (_pairs(row, yardsticks * yardstick).settings / row["best_known_settings"] - 1) for row in long]
        name = f"two axes, ≥ 50 pairs: above the best known in {yardsticks} s"
        yield Figure(f"{name}, mean", mean(gaps or [0.0]), "%", allowed)
        yield Figure(f"{name}, worst", max(gaps, default=0.0), "%", allowed)


def _against_general_solver(rows: Sequence[dict[str, Any]], yardstick: float) -> Iterator[Figure]:
    """The same instance as a whole-number program, given to HiGHS for ten seconds (Tang & Denardo 1988, section 2)."""
    row = rows[0]
    ours, mine = timed(lambda: _order(row, 10 * yardstick))
    theirs, other = timed(lambda: solve_whole(*_as_program(row), within(10 * yardstick)))
    said = "proven" if theirs.complete else f"bound {theirs.bound:.0f} when stopped"
    yield Figure(f"order {row['name']}: HiGHS time / ours", other / mine, "×", note=f"{said}; ours {ours.settings}")


def _as_program(row: dict[str, Any]) -> tuple[list[Column], list[tuple[float, float]]]:
    """Job j at place t; position i stands at t; a setting where it stands at t and did not at t − 1."""
    jobs, holds = row["jobs"], row["capacity"]
    places, things = range(len(jobs)), sorted({thing for job in jobs for thing in job})
    bounds: list[tuple[float, float]] = [(1, 1)] * (2 * len(jobs))
    job_entries = {(j, t): [(j, 1.0), (len(jobs) + t, 1.0)] for j in places for t in places}
    stands: dict[tuple[int, int], list[tuple[int, float]]] = {(i, t): [] for i in things for t in places}
    made: dict[tuple[int, int], list[tuple[int, float]]] = {(i, t): [] for i in things for t in places}

    def row_of(low: float, high: float) -> int:
        bounds.append((low, high))
        return len(bounds) - 1

    for t in places:
        full = row_of(-float("inf"), holds)
        for i in things:
            stands[i, t].append((full, 1.0))
            needed = row_of(0, float("inf"))
            stands[i, t].append((needed, 1.0))
            for j in places:
                if i in jobs[j]:
                    job_entries[j, t].append((needed, -1.0))
    for i in things:
        first = row_of(0, float("inf"))
        made[i, 0].append((first, 1.0))
        stands[i, 0].append((first, -1.0))
        for before, now in pairwise(places):
            change = row_of(0, float("inf"))
            made[i, now].append((change, 1.0))
            stands[i, now].append((change, -1.0))
            stands[i, before].append((change, 1.0))
    columns = [Column(0.0, tuple(entries), 1.0) for entries in (*job_entries.values(), *stands.values())]
    return columns + [Column(1.0, tuple(entries), 1.0) for entries in made.values()], bounds


def _order(row: dict[str, Any], seconds: float) -> Order:
    needs = [{"stop": set(job)} for job in row["jobs"]]
    return order_runs(needs, [Axis("stop", holds=row["capacity"])], within(seconds))


def _pairs(row: dict[str, Any], seconds: float) -> Order:
    axes = [Axis("rip", holds=row["rip_capacity"]), Axis("stop", holds=row["crosscut_stops"])]
    return order_runs([{"rip": {width}, "stop": {length}} for width, length in row["pairs"]], axes, within(seconds))


def _some(rows: Sequence[dict[str, Any]], quick: bool) -> Sequence[dict[str, Any]]:
    return rows[::10] if quick else rows
