"""From positions as a person has them to the bits of a task, checked whole, and back.

Runs are put in a fixed sequence first, longest positions first, so that the answer does not depend on the
sequence they were given in.
"""

from collections.abc import Hashable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import lcm
from typing import Any, Protocol

from stopwright.errors import StopwrightError
from stopwright.plan.ordering.task import Task, bits, union


class AxisLike(Protocol):
    """What is asked of an axis here."""

    @property
    def name(self) -> str: ...
    @property
    def holds(self) -> int: ...
    @property
    def cost(self) -> float: ...
    @property
    def clearance(self) -> int: ...


@dataclass(frozen=True, slots=True)
class Reading:
    """A task, and what its numbers stand for."""

    task: Task
    names: tuple[str, ...]
    values: tuple[Hashable, ...]  # by bit
    givens: tuple[int, ...]  # by run of the task: its place among the runs as given
    unit: int  # so many units of the task's cost make one of the person's

    @property
    def as_given(self) -> list[int]:
        """The runs of the task in the sequence they were given in."""
        return sorted(range(len(self.givens)), key=self.givens.__getitem__)

    def runs_of(self, order: Sequence[int]) -> list[int]:
        """The order in the numbers of the runs as given."""
        return [self.givens[run] for run in order]

    def positions(self, mask: int) -> frozenset[Hashable]:
        """The positions of some bits."""
        return frozenset(self.values[bit] for bit in bits(mask))

    def cost(self, cost: int) -> float:
        """The cost in the unit it was given in."""
        return float(Fraction(cost, self.unit))


def read_runs(
    needs: Sequence[Mapping[str, AbstractSet[Hashable]]],
    axes: Sequence[AxisLike],
    standing: Mapping[str, AbstractSet[Hashable]],
    before: Sequence[tuple[int, int]],
) -> Reading:
    """The task of these runs; raises StopwrightError where they cannot be made at all."""
    names = [axis.name for axis in axes]
    if len(set(names)) < len(names):
        raise StopwrightError("two axes have the same name", ", ".join(names), "give each axis its own name")
    for where, wanted in [*((f"run {at}", need) for at, need in enumerate(needs)), ("standing", standing)]:
        for name in wanted:
            if name not in names:
                raise StopwrightError(f"there is no axis {name!r}", where, f"use one of {', '.join(names)}")
    for at, need in enumerate(needs):
        for axis in axes:
            _check_run(at, need.get(axis.name, frozenset()), axis)
    for axis in axes:
        if len(standing.get(axis.name, ())) > axis.holds:
            raise StopwrightError(
                f"more stands on the axis than the {axis.holds} it holds", axis.name, "say what stands there now"
            )

    values: list[Hashable] = []
    bit_of: list[dict[Hashable, int]] = []
    for name in names:
        found = {position for need in needs for position in need.get(name, ())} | set(standing.get(name, ()))
        ranked = sorted(found, key=_rank, reverse=True)
        bit_of.append({position: len(values) + at for at, position in enumerate(ranked)})
        values += ranked

    def masks(wanted: Mapping[str, AbstractSet[Hashable]]) -> tuple[int, ...]:
        return tuple(
            sum(1 << place[position] for position in wanted.get(name, ()))
            for name, place in zip(names, bit_of, strict=True)
        )

    given = [masks(need) for need in needs]
    sequence = sorted(range(len(needs)), key=_canonical(given, before))
    place = {run: at for at, run in enumerate(sequence)}
    earlier = [0] * len(needs)
    for first, second in before:
        if first not in place or second not in place:
            raise StopwrightError("there is no such run", f"before: {first}, {second}", "give places in the list")
        earlier[place[second]] |= 1 << place[first]
    _check_circle(earlier, sequence)
    costs = [Fraction(repr(float(axis.cost))) for axis in axes]
    unit = lcm(*(cost.denominator for cost in costs))
    task = Task(
        needs=tuple(given[run] for run in sequence),
        holds=tuple(axis.holds for axis in axes),
        weights=tuple(int(cost * unit) for cost in costs),
        areas=tuple(union(need[axis] for need in given) for axis in range(len(axes))),
        standing=masks(standing),
        before=tuple(earlier),
        close=tuple(_close(axis, place) for axis, place in zip(axes, bit_of, strict=True)),
    )
    return Reading(task, tuple(names), tuple(values), tuple(sequence), unit)


def _rank(position: Hashable) -> tuple[str, Any]:
    """Numbers among numbers, all else by kind and then by its own rank."""
    return ("", position) if isinstance(position, int | float | Fraction) else (type(position).__name__, position)


def _canonical(given: list[tuple[int, ...]], before: Sequence[tuple[int, int]]) -> Any:
    """A key that puts equal runs side by side whatever the sequence; low bits are long positions and come first."""
    firsts: list[list[list[list[int]]]] = [[] for _ in given]
    seconds: list[list[list[list[int]]]] = [[] for _ in given]
    shapes = [[bits(mask) for mask in need] for need in given]
    for first, second in before:
        if 0 <= first < len(given) and 0 <= second < len(given):
            firsts[second].append(shapes[first])
            seconds[first].append(shapes[second])
    return lambda run: (shapes[run], sorted(firsts[run]), sorted(seconds[run]), run)


def _check_run(at: int, positions: AbstractSet[Hashable], axis: AxisLike) -> None:
    where = f"run {at}, {axis.name}"
    if len(positions) > axis.holds:
        raise StopwrightError(
            f"needs {len(positions)} positions at once, the axis holds {axis.holds}", where, "split the run in two"
        )
    if axis.clearance:
        ranked = _lengths(positions, axis)
        for low, high in pairwise(ranked):
            if high - low < axis.clearance:
                raise StopwrightError(
                    f"{low} and {high} are closer than the {axis.clearance} two stops need",
                    where,
                    "split the run in two",
                )


def _lengths(positions: AbstractSet[Hashable] | Mapping[Hashable, int], axis: AxisLike) -> list[Any]:
    for position in positions:
        if not isinstance(position, int | float | Fraction):
            raise StopwrightError(
                f"{position!r} is not a length", axis.name, "give numbers where stops need a clearance"
            )
    return sorted(positions)


def _close(axis: AxisLike, place: Mapping[Hashable, int]) -> dict[int, int]:
    """For each position those that cannot stand with it, where the axis holds more than one."""
    close: dict[int, int] = {}
    if axis.clearance and axis.holds > 1:
        ranked = _lengths(place, axis)
        for position in ranked:
            mask = sum(1 << place[other] for other in ranked if 0 < abs(other - position) < axis.clearance)
            if mask:
                close[place[position]] = mask
    return close


def _check_circle(earlier: list[int], sequence: list[int]) -> None:
    done, left = 0, set(range(len(earlier)))
    while left:
        ready = {run for run in left if not earlier[run] & ~done}
        if not ready:
            runs = ", ".join(str(sequence[run]) for run in sorted(left))
            raise StopwrightError("each of these runs waits for another", f"before: runs {runs}", "leave one out")
        done |= union(1 << run for run in ready)
        left -= ready
