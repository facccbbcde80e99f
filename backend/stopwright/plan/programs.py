"""Linear and whole-number programs, solved by HiGHS: silent, on one thread, the same answer every time.

HiGHS and numpy are loaded with the first program: most small jobs need none.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import highspy
    import numpy as np
    import numpy.typing as npt

NO_LIMIT = float("inf")
_WHOLE_WITHIN = 1e-6
_ASKS_RARELY_ABOVE = 600
_DUAL, _PRIMAL = 1, 4  # HiGHS's numbers for the two ways of the simplex method


class Column(NamedTuple):
    """One unknown of a program: its cost, its factor in each row it stands in, its greatest value."""

    cost: float
    entries: tuple[tuple[int, float], ...]
    upper: float = NO_LIMIT
    whole: bool = True


class Relaxed(NamedTuple):
    """The best fractional solution: its cost, the value of each column, the worth (dual) of each row."""

    cost: float
    values: list[float]
    worth: list[float]


@dataclass(frozen=True, slots=True)
class Whole:
    """The best whole-number solution met (None: none met), and the least any can cost.

    `complete` says that the search ran to its end, so that `values` is best (or, when None, that there is none).
    """

    values: list[int] | None
    bound: float
    complete: bool


@cache
def _quiet_highs() -> "type[highspy.Highs]":
    """HiGHS prints a banner from `enableCallbacks`, which its constructor calls; so it is silenced in there."""
    import highspy

    class QuietHighs(highspy.Highs):
        def __init__(self) -> None:
            super().__init__()  # type: ignore[no-untyped-call]

        def enableCallbacks(self) -> None:  # noqa: N802 (the name is HiGHS's)
            self.silent()
            self.setOptionValue("threads", 1)
            self.setOptionValue("random_seed", 0)
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    return QuietHighs


class Program:
    """A linear program (least cost) that grows by columns and is solved again from where it stood."""

    def __init__(self, rows: Iterable[tuple[float, float]]) -> None:
        """`rows` are (least, greatest) of each row's sum."""
        import numpy as np

        self._highs = _quiet_highs()()
        self._highs.setOptionValue("presolve", "off")  # a warm start is worth more
        self._nothing = np.array([], dtype=np.int32), np.array([], dtype=np.float64)
        for least, greatest in rows:
            self._highs.addRow(least, greatest, 0, *self._nothing)
        self._only_grew = False

    def add(self, column: Column) -> None:
        """Add a column at the end."""
        import numpy as np

        rows = np.array([row for row, _ in column.entries], dtype=np.int32)
        factors = np.array([factor for _, factor in column.entries], dtype=np.float64)
        self._highs.addCol(column.cost, 0.0, column.upper, len(rows), rows, factors)

    def bound_row(self, row: int, least: float, greatest: float) -> None:
        """Change what a row's sum must be."""
        self._highs.changeRowBounds(row, least, greatest)
        self._only_grew = False

    def bound_columns(self, columns: "npt.NDArray[np.int64]", greatest: float) -> None:
        """Change the greatest value of some columns."""
        import numpy as np

        if many := len(columns):
            self._highs.changeColsBounds(many, columns.astype(np.int32), np.zeros(many), np.full(many, greatest))
            self._only_grew = False

    def solve(self) -> Relaxed | None:
        """The best fractional solution, or None where there is none.

        Where columns were added and nothing else changed, the solution before is one still, only no longer the best:
        the primal simplex goes on from there in about half the steps of the dual.
        """
        import highspy

        self._highs.setOptionValue("simplex_strategy", _PRIMAL if self._only_grew else _DUAL)
        self._highs.run()
        self._only_grew = True
        if self._highs.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        solution = self._highs.getSolution()
        cost = float(self._highs.getInfo().objective_function_value)
        return Relaxed(cost, list(solution.col_value), list(solution.row_dual))


def solve_whole(
    columns: Sequence[Column],
    rows: Sequence[tuple[float, float]],
    effort: Callable[[], bool],
    *,
    nodes: int = 2**31 - 1,
    start: Sequence[int] | None = None,
    good_enough: float | None = None,
) -> Whole:
    """The whole-number solution of least cost that HiGHS meets before `effort` or `nodes` of its tree are used up.

    `start` is a known solution to begin from; a solution of cost `good_enough` or less ends the search.
    """
    import highspy
    import numpy as np

    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(columns), len(rows)
    model.col_cost_ = np.array([c.cost for c in columns], dtype=np.float64)
    model.col_lower_ = np.zeros(len(columns))
    model.col_upper_ = np.array([c.upper for c in columns], dtype=np.float64)
    model.row_lower_ = np.array([least for least, _ in rows], dtype=np.float64)
    model.row_upper_ = np.array([greatest for _, greatest in rows], dtype=np.float64)
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = np.cumsum([0] + [len(c.entries) for c in columns])
    model.a_matrix_.index_ = np.array([row for c in columns for row, _ in c.entries], dtype=np.int32)
    model.a_matrix_.value_ = np.array([factor for c in columns for _, factor in c.entries], dtype=np.float64)
    kind = highspy.HighsVarType
    model.integrality_ = [kind.kInteger if c.whole else kind.kContinuous for c in columns]
    highs = _quiet_highs()()
    highs.passModel(model)
    highs.setOptionValue("mip_max_nodes", nodes)
    highs.setOptionValue("mip_rel_gap", 0.0)
    if len(columns) > _ASKS_RARELY_ABOVE:
        for heuristic in ("root_reduced_cost", "feasibility_jump", "rins", "rens"):
            highs.setOptionValue(f"mip_heuristic_run_{heuristic}", False)  # seconds in which effort is not asked
    if good_enough is not None:
        highs.setOptionValue("objective_target", good_enough + _WHOLE_WITHIN)
    if start is not None:
        known = highspy.HighsSolution()
        known.col_value = [float(v) for v in start]
        highs.setSolution(known)

    def ask(event: "highspy.HighsCallbackEvent") -> None:
        if effort():
            event.interrupt()

    highs.cbMipInterrupt += ask
    highs.run()
    info, status = highs.getInfo(), highs.getModelStatus()
    state = highspy.HighsModelStatus
    if status == state.kInfeasible:
        return Whole(None, NO_LIMIT, True)
    found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    values = [round(v) for v in highs.getSolution().col_value] if found else None
    return Whole(values, float(info.mip_dual_bound), status == state.kOptimal)
