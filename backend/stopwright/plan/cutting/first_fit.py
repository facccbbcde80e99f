"""Boards filled one after the other, and a bound from the sizes alone: good enough for many a job, and a start."""

from collections.abc import Sequence

from stopwright.plan.cutting.columns import Pattern
from stopwright.plan.cutting.fill import worthy_fills
from stopwright.plan.effort import Effort


def first_fit(
    sizes: Sequence[int],
    demands: Sequence[int],
    rooms: Sequence[int],
    available: Sequence[int | None],
    order: Sequence[int],
) -> list[tuple[Pattern, int]]:
    """First fit, longest first: every piece into the first board that takes it; boards are opened in `order`.

    >>> first_fit([6, 4], [1, 2], [10], [None], [0])
    [(Pattern(kind=0, counts=((0, 1), (1, 1)), plan=None), 1), (Pattern(kind=0, counts=((1, 1),), plan=None), 1)]
    """
    left = list(available)
    opened: list[tuple[int, dict[int, int]]] = []
    free: list[int] = []
    for i, (size, demand) in enumerate(zip(sizes, demands, strict=True)):
        b = 0
        while demand:
            if b == len(opened):
                kind = next((k for k in order if left[k] != 0 and rooms[k] >= size), None)
                if kind is None:
                    break
                held = left[kind]
                left[kind] = None if held is None else held - 1
                opened.append((kind, {}))
                free.append(rooms[kind])
            if take := min(demand, free[b] // size):
                opened[b][1][i] = take
                free[b] -= take * size
                demand -= take
            b += 1
    times: dict[Pattern, int] = {}
    for kind, counts in opened:
        pattern = Pattern(kind, tuple(counts.items()))
        times[pattern] = times.get(pattern, 0) + 1
    return list(times.items())


_FINE = 1_000_000
"""So finely lengths are told apart where it is weighed which fill is worth more."""


def fullest_first(
    sizes: Sequence[int],
    demands: Sequence[int],
    rooms: Sequence[int],
    available: Sequence[int | None],
    order: Sequence[int],
    effort: Effort,
) -> list[tuple[Pattern, int]]:
    """The next board as full as it can be, again and again in the same way while pieces and boards last."""
    left, stock = list(demands), list(available)
    uses: list[tuple[Pattern, int]] = []
    most = max(max(sizes), _FINE)  # squares of nm would be past 64 bits
    coarse = [max(1, size * _FINE // most) for size in sizes] if most > _FINE else list(sizes)
    worth = [size * (10 * coarse[0] + size) for size in coarse]  # a little more for long pieces: short ones fit later
    for kind in order:
        while stock[kind] != 0 and any(left) and not effort():
            fills, _ = worthy_fills(sizes, worth, left, rooms[kind], 0)
            if not fills:
                break
            times = min(left[i] // n for i, n in fills[0])
            if (held := stock[kind]) is not None:
                times = min(times, held)
                stock[kind] = held - times
            for i, n in fills[0]:
                left[i] -= n * times
            uses.append((Pattern(kind, fills[0]), times))
    return uses


def least_boards(sizes: Sequence[int], demands: Sequence[int], room: int) -> int:
    """A number of boards that no plan can go below: pieces above half a board apart, the rest by length.

    Bound L2 of Martello & Toth (Discrete Applied Mathematics 28, 1990, 59).

    >>> least_boards([6, 5], [3, 1], 10)  # no two of 6 share a board, and 5 goes with none of them
    4
    """
    best = 0
    for small in {0, *(size for size in sizes if 2 * size <= room)}:
        alone = sum(n for size, n in zip(sizes, demands, strict=True) if size > room - small)
        big = sum(n for size, n in zip(sizes, demands, strict=True) if room - small >= size and 2 * size > room)
        big_length = sum(
            n * size for size, n in zip(sizes, demands, strict=True) if room - small >= size and 2 * size > room
        )
        rest = sum(n * size for size, n in zip(sizes, demands, strict=True) if small <= size and 2 * size <= room)
        best = max(best, alone + big + max(0, -(-(rest - (big * room - big_length)) // room)))
    return best
