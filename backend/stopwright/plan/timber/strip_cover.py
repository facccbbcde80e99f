"""The fewest boards, each as wide as it is, whose strips side by side are as wide as every panel: bin covering."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from stopwright.lengths import Nm
from stopwright.plan.effort import Effort, Steps

_STEPS = 20_000


@dataclass(frozen=True, slots=True)
class Cover:
    """For every panel the places of its boards in the list, and `least` boards below which no cover can be.

    `proven` says that no cover has fewer boards.
    """

    boards: tuple[tuple[int, ...], ...]
    least: int
    proven: bool

    @property
    def count(self) -> int:
        """How many boards it takes in all."""
        return sum(map(len, self.boards))


def cover_panels(widths: Sequence[Nm], wanted: Sequence[Nm], effort: Effort | None = None) -> Cover | None:
    """The fewest boards that cover panels of these widths, of them those with the least width over; None if none do.

    `widths` are what each board gives, jointed; nm. The bound: no fewer than the widest boards that are together as
    wide as all panels, and no fewer than each panel needs of the widest. Counts are tried from the bound on, board by
    board from the widest, a board going to each panel that is not covered yet, or to none; `effort` says when to stop,
    and then the widest boards are taken panel by panel.

    Seven boards for 620 clear: the four widest give 576.6 - so five, and of the fives the one with 4 to spare.

    >>> boards = [95_400, 116_400, 124_400, 129_400, 138_400, 150_400, 158_400]
    >>> found = cover_panels(boards, [620_000])
    >>> found.count, found.least, found.proven, sum(boards[place] for place in found.boards[0])
    (5, 5, True, 624000)
    """
    order = sorted(range(len(widths)), key=lambda place: (-widths[place], place))
    search = _Search([widths[place] for place in order], list(wanted), effort or Steps(_STEPS))
    least = search.bound()
    if least is None:
        return None
    for count in range(least, len(widths) + 1):
        found = search.with_count(count)
        if found is not None:
            boards = tuple(tuple(sorted(order[place] for place in one)) for one in found)
            return Cover(boards, least, count == least or not search.gave_up)
        if search.gave_up:
            break
    taken = search.widest_first()
    if taken is None:
        return None
    boards = tuple(tuple(sorted(order[place] for place in one)) for one in taken)
    return Cover(boards, least, sum(map(len, taken)) == least)


class _Search:
    def __init__(self, widths: list[Nm], wanted: list[Nm], effort: Effort) -> None:
        self.widths, self.wanted, self.effort = widths, wanted, effort
        self.sums = [0, *accumulate(widths)]
        self.gave_up = False

    def bound(self) -> int | None:
        """The fewest boards by width alone, None where all of them are not wide enough."""
        if self.sums[-1] < sum(self.wanted):
            return None
        each = sum(next(n for n, together in enumerate(self.sums) if together >= one) for one in self.wanted)
        whole = next(n for n, together in enumerate(self.sums) if together >= sum(self.wanted))
        return max(each, whole)

    def widest_first(self) -> list[list[int]] | None:
        """Panel by panel, the widest wanted first, of the widest boards that are left; None where they do not do."""
        given: list[list[int]] = [[] for _ in self.wanted]
        board = 0
        for panel in sorted(range(len(self.wanted)), key=lambda panel: -self.wanted[panel]):
            have = 0
            while have < self.wanted[panel]:
                if board == len(self.widths):
                    return None
                have += self.widths[board]
                given[panel].append(board)
                board += 1
        return given

    def with_count(self, count: int) -> list[list[int]] | None:
        """A cover of so many boards, with the least width over of those that are found in time; None if none is."""
        best: tuple[Nm, list[list[int]]] | None = None
        given: list[list[int]] = [[] for _ in self.wanted]
        needs = list(self.wanted)
        enough = False

        def place(board: int, left: int, used: Nm) -> None:
            nonlocal best, enough
            if enough:
                return
            if all(need <= 0 for need in needs):
                if best is None or used < best[0]:
                    best = (used, [list(one) for one in given])
                return
            open_ = sum(max(need, 0) for need in needs)
            end = min(board + left, len(self.widths))
            if self.sums[end] - self.sums[board] < open_ or (best is not None and used + open_ >= best[0]):
                return
            if self.effort():
                self.gave_up = enough = True
                return
            tried: set[tuple[Nm, Nm]] = set()
            for panel, need in enumerate(needs):
                if need > 0 and (need, self.wanted[panel]) not in tried:
                    tried.add((need, self.wanted[panel]))
                    needs[panel] -= self.widths[board]
                    given[panel].append(board)
                    place(board + 1, left - 1, used + self.widths[board])
                    given[panel].pop()
                    needs[panel] += self.widths[board]
            place(board + 1, left, used)

        place(0, count, 0)
        return best[1] if best is not None else None
