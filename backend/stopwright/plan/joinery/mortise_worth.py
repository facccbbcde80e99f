"""What a way of placing pieces at the mortiser is worth: stops out of reach, minutes of setting, blocks to handle."""

from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.stations import Station
from stopwright.plan.effort import Steps
from stopwright.plan.joinery.mortise_setups import MORTISER_AXES, Placing, Positions, blocks_for, needs_of, out_of_range
from stopwright.plan.ordering import Axis, order_runs
from stopwright.plan.stations.ordering_axis import ordering_axis

Standing: TypeAlias = Mapping[str, AbstractSet[Nm]]
Worth: TypeAlias = tuple[int, float, int, int]

GLANCE = 10  # steps of search to judge one alternative
FEW = 10  # runs up to which every alternative is judged by its best order


def ordering_axes(station: Station) -> list[Axis]:
    """The mortising axes as the order of runs wants them; one setting costs its minutes."""
    axes = [axis for sets in MORTISER_AXES if (axis := station.axis(sets))]
    return [ordering_axis(axis) for axis in axes]


@dataclass(frozen=True, slots=True)
class Blocks:
    """What blocks cost: whether the shop uses any, minutes to make one, and the thicknesses that it has."""

    allowed: bool
    minutes_each: float
    owned: frozenset[Nm]

    def minutes(self, used: Iterable[tuple[Nm, int]]) -> float:
        """Minutes to make these (thickness, count), as many of each as are needed at once."""
        most: dict[Nm, int] = {}
        for thickness, count in used:
            most[thickness] = max(most.get(thickness, 0), count)
        return sum(count for thickness, count in most.items() if thickness not in self.owned) * self.minutes_each


class Judge:
    """Compares placings: less is better."""

    def __init__(self, station: Station, standing: Standing, blocks: Blocks) -> None:
        self.station, self.standing, self.blocks = station, standing, blocks
        self.axes = ordering_axes(station)
        self.cost = {axis.name: axis.cost for axis in self.axes}
        self.price = {axis.sets: (axis.name, self.cost[axis.name]) for axis in station.axes if axis.name in self.cost}
        self.out: dict[Positions, int] = {}
        self.known: dict[tuple[frozenset[Positions], bool], float] = {}

    def floor(self, stands: frozenset[Positions]) -> tuple[int, float]:
        """What no order of these runs undercuts: stops out of reach, and each position set once."""
        prices = ((*self.price[sets], place) for sets, place in {one for run in stands for one in run})
        cost = sum(cost for name, cost, place in prices if place not in self.standing.get(name, ()))
        return (self._out_of_reach(stands), round(cost, 6))

    def worth(self, stands: frozenset[Positions], placings: Iterable[Placing], exactly: bool = False) -> Worth:
        """Stops out of reach, minutes of setting and making blocks, blocks to handle, end stops off their first place.

        The minutes are those of the best order that `order_runs` finds at a glance, where there are few runs or
        when asked `exactly`; else of going on with whatever is cheapest to set next, which guides well enough.
        """
        placed = list(placings)
        exactly = exactly or len(stands) <= FEW
        if (stands, exactly) not in self.known:
            needs = [needs_of(one, self.station) for one in sorted(stands)]
            self.known[stands, exactly] = round(self._ordered(needs) if exactly else self._nearest_next(needs), 6)
        used = blocks_for(amount for one in placed for amount in (one.spacer, one.under))
        return (
            self._out_of_reach(stands),
            round(self.known[stands, exactly] + self.blocks.minutes(used.values()), 6),
            sum(count for _, count in used.values()) + sum(one.spacer + one.under > 0 for one in placed),
            sum(one.end_stop > min(all_.end_stop for all_ in placed) for one in placed),
        )

    def _out_of_reach(self, stands: frozenset[Positions]) -> int:
        for one in stands - self.out.keys():
            self.out[one] = out_of_range(one, self.station)
        return sum(self.out[one] for one in stands)

    def _ordered(self, needs: Sequence[dict[str, set[Nm]]]) -> float:
        return order_runs(needs, self.axes, Steps(GLANCE), standing=self.standing).cost

    def _nearest_next(self, needs: Sequence[dict[str, set[Nm]]]) -> float:
        names = [axis.name for axis in self.axes]
        costs = [self.cost[name] for name in names]
        left = [tuple(next(iter(need.get(name, ())), None) for name in names) for need in needs]
        stood: list[Nm | None] = [next(iter(self.standing.get(name, ())), None) for name in names]
        total = 0.0
        while left:
            prices = [
                sum(cost for cost, new, old in zip(costs, run, stood, strict=True) if new is not None and new != old)
                for run in left
            ]
            cheapest = min(range(len(left)), key=prices.__getitem__)
            total += prices[cheapest]
            run = left.pop(cheapest)
            stood = [old if new is None else new for new, old in zip(run, stood, strict=True)]
        return total
