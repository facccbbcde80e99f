"""Replays a board plan cut by cut with its own arithmetic; shares nothing with the planner."""

from collections import Counter
from collections.abc import Iterable
from typing import Any


def faults(
    plan: Any,
    pieces: Iterable[tuple[int, int]],
    boards: Iterable[tuple[Any, ...]],
    kerf: int,
    trim: int,
) -> list[str]:
    """What is wrong with a plan in words; nothing when every cut can be made and every piece is accounted for."""
    wrong: list[str] = []
    boards = [tuple(b) for b in boards]
    got: Counter[int] = Counter()
    taken: Counter[int] = Counter()
    for layout in plan.layouts:
        stock_length = boards[layout.board][0]
        if layout.times < 1 or not layout.lengths:
            wrong.append(f"an empty layout: {layout}")
        if layout.board_length != stock_length:
            wrong.append(f"a board of {stock_length} called {layout.board_length}")
        if list(layout.lengths) != sorted(layout.lengths, reverse=True):
            wrong.append(f"short before long: {layout.lengths}")
        blade = trim  # where the next piece begins: the near end is trimmed off
        last_end = stock_length - trim  # the far end is trimmed off as well
        for length in layout.lengths:
            if blade + length > last_end:
                wrong.append(f"{layout.lengths} runs over the end of {stock_length}")
                break
            blade += length + kerf
        if layout.offcut != max(0, last_end - blade):
            wrong.append(f"an offcut of {layout.offcut} where {last_end - blade} is left")
        got.update({length: n * layout.times for length, n in Counter(layout.lengths).items()})
        taken[layout.board] += layout.times
    for line, n in taken.items():
        if boards[line][1] is not None and n > boards[line][1]:
            wrong.append(f"{n} boards of line {line}, {boards[line][1]} on hand")
    wanted: Counter[int] = Counter()
    for length, n in pieces:
        wanted[length] += n
    missing = Counter(dict(plan.unplaced))
    wrong += [
        f"{wanted[length]} of {length} asked, {got[length]} cut, {missing[length]} unplaced"
        for length in wanted | got | missing
        if got[length] + missing[length] != wanted[length]
    ]
    if plan.boards_used != sum(taken.values()):
        wrong.append(f"{sum(taken.values())} boards cut, {plan.boards_used} counted")
    if plan.least_possible > plan.boards_used:
        wrong.append(f"least possible {plan.least_possible} above {plan.boards_used}")
    if plan.proven and plan.least_possible != plan.boards_used:
        wrong.append("called proven with a gap")
    return wrong
