"""The order of the runs with the least cost of settings: `order_runs`, and what is set and what stands at each run."""

from collections.abc import Callable, Hashable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.errors import StopwrightError
from stopwright.plan.effort import Effort, Steps
from stopwright.plan.ordering.effort import find_order
from stopwright.plan.ordering.loading import cost_of, load
from stopwright.plan.ordering.positions import Reading, read_runs

Needs: TypeAlias = Mapping[str, AbstractSet[Hashable]]
AxisMove: TypeAlias = tuple[frozenset[Hashable], frozenset[Hashable]]

PATIENCE = 4000  # steps of search while a person waits: about one second


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: how many positions it holds at once, the cost of one setting, the least distance between stops.

    `cost` is in any unit, minutes mostly; `clearance` in the unit of the positions, 0 where stops never meet.
    """

    name: str
    holds: int = 1
    cost: float = 1.0
    clearance: int = 0

    def __post_init__(self) -> None:
        if self.holds < 1:
            raise StopwrightError("an axis holds at least one position", self.name, "give 1 or more")
        if not 0 < self.cost < float("inf"):
            raise StopwrightError("a setting costs more than nothing", self.name, "give a cost above 0")
        if self.clearance < 0:
            raise StopwrightError("a distance between stops is not negative", self.name, "give 0 or more")


@dataclass(frozen=True, slots=True)
class Order:
    """The order found, what it costs, and how far below no order can be.

    `order` lists the runs by their place in `needs`. `settings` counts every setting, the first ones too, and
    `settings_on` the same axis by axis; `cost` is their cost. No order makes fewer settings than
    `least_possible` or costs less than `least_cost`; `proven` says that none costs less than this one.
    `moves[i]` tells for the i-th run of the order and each axis it needs which of its positions are set now and
    which stand already; `idle[i]` which further positions stand during that run without being needed by it.
    """

    order: list[int]
    settings: int
    cost: float
    least_possible: int
    least_cost: float
    proven: bool
    settings_on: dict[str, int]
    moves: list[dict[str, AxisMove]]
    idle: list[dict[str, frozenset[Hashable]]]


def order_runs(
    needs: Sequence[Needs],
    axes: Sequence[Axis],
    effort: Effort | None = None,
    *,
    standing: Needs | None = None,
    before: Sequence[tuple[int, int]] = (),
    progress: Callable[[float, float], None] | None = None,
) -> Order:
    """The runs in the order that costs the fewest settings, weighted by the cost of each axis.

    `needs[i]` are the positions that run i needs on each axis, all at once. `standing` is what stands on the
    machine now. For each (a, b) in `before` run a comes before run b. `effort` is asked often and answers True
    when it is time to stop with the best order so far; None allows about a second. `progress` is told the
    cost and the bound whenever one of them gets better. The answer depends on the runs, not on the sequence
    they are given in; among equals the longer position comes first.

    Raises StopwrightError for a run that needs more positions than its axis holds or two closer than the
    clearance, for an axis or a run that is not there, and for precedences that go round in a circle.

    Two widths with three lengths between them, one fence and one stop: each is set once.

    >>> found = order_runs(
    ...     needs=[{"rip": {84}, "stop": {450}}, {"rip": {60}, "stop": {450}}, {"rip": {84}, "stop": {720}}],
    ...     axes=[Axis("rip"), Axis("stop")],
    ... )
    >>> found.order, found.settings, found.least_possible, found.proven
    ([2, 0, 1], 4, 4, True)
    """
    reading = read_runs(needs, axes, standing or {}, before)
    task = reading.task
    found = find_order(task, effort or Steps(PATIENCE), None if progress is None else _telling(progress, reading))
    cost, made = cost_of(task, found.order)
    moves, idle = _moves(reading, found.order)
    return Order(
        order=reading.runs_of(found.order),
        settings=sum(made),
        cost=reading.cost(cost),
        least_possible=found.least_settings,
        least_cost=reading.cost(found.least),
        proven=cost == found.least,
        settings_on={axis.name: count for axis, count in zip(axes, made, strict=True)},
        moves=moves,
        idle=idle,
    )


def load_stops(
    order: Sequence[int], needs: Sequence[Needs], axes: Sequence[Axis], standing: Needs | None = None
) -> list[dict[str, AxisMove]]:
    """What to set and what stands at each run of a fixed order, with the fewest settings on every axis.

    Keeps what is needed soonest (Tang & Denardo 1988). Raises as `order_runs` does.

    Jobs {a, b}, {b, c}, {c, d} on two places: four settings in this order.

    >>> moves = load_stops([0, 1, 2], [{"bit": {"a", "b"}}, {"bit": {"b", "c"}}, {"bit": {"c", "d"}}], [Axis("bit", 2)])
    >>> [sorted(move["bit"][0]) for move in moves]
    [['a', 'b'], ['c'], ['d']]
    """
    chosen = [needs[run] for run in order]
    reading = read_runs(chosen, axes, standing or {}, ())
    return _moves(reading, reading.as_given)[0]


def _moves(
    reading: Reading, order: Sequence[int]
) -> tuple[list[dict[str, AxisMove]], list[dict[str, frozenset[Hashable]]]]:
    task = reading.task
    moves: list[dict[str, AxisMove]] = [{} for _ in order]
    idle: list[dict[str, frozenset[Hashable]]] = [{} for _ in order]
    for axis, stands in enumerate(load(task, order)):
        name = reading.names[axis]
        stood = task.standing[axis]
        for at, run in enumerate(order):
            need = task.needs[run][axis]
            if need:
                moves[at][name] = reading.positions(need & ~stood), reading.positions(need & stood)
            if stands[at] & ~need:
                idle[at][name] = reading.positions(stands[at] & ~need)
            stood = stands[at]
    return moves, idle


def _telling(progress: Callable[[float, float], None], reading: Reading) -> Callable[[int, int], None]:
    return lambda cost, least: progress(reading.cost(cost), reading.cost(least))
