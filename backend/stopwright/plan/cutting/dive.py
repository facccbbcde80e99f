"""From fractions to whole boards: fix what is nearly whole, relax the rest again with new patterns, and so on down."""

from dataclasses import dataclass

from stopwright.plan.cutting.columns import Pattern
from stopwright.plan.cutting.master import Master
from stopwright.plan.cutting.pattern_choice import PatternChoice

_NEARLY_WHOLE = 0.7


@dataclass(frozen=True, slots=True)
class _Stand:
    """What is left to make and to use, what is fixed, what must not be used, how many second choices remain."""

    left: tuple[int, ...]
    stock: tuple[int | None, ...]
    uses: tuple[tuple[Pattern, int], ...]
    barred: frozenset[Pattern]
    slips: int


def dive(choice: PatternChoice, master: Master, slips: int) -> None:
    """Offer whole-number choices to `choice`, going back at most `slips` times on any way down to a second choice.

    A way down ends where even its relaxation is no better than the best choice so far (limited discrepancy
    search: Harvey & Ginsberg, IJCAI 1995, 607).
    """
    kinds = choice.kinds
    stack = [_Stand(choice.demands, tuple(kind.available for kind in kinds), (), frozenset(), slips)]
    while stack and not choice.done():
        stand = stack.pop()
        spent = sum(kinds[p.kind].cost * n for p, n in stand.uses)
        values = master.relax(stand.left, stand.stock, stand.barred, choice.best_cost - choice.step - spent)
        if values is None:
            if choice.effort():
                return
            continue
        order = sorted(values, key=lambda p: (-(values[p] % 1.0), p.kind, p.counts))
        sure = [p for p in order if values[p] % 1.0 >= _NEARLY_WHOLE or values[p] >= 1]
        first = (sure or order)[:1]
        if stand.slips and first:
            stack.append(_Stand(stand.left, stand.stock, stand.uses, stand.barred | {first[0]}, stand.slips - 1))
            if len(sure) > 1:
                stack.append(_fix(stand, {first[0]: 1.0}, first, stand.slips - 1))
        after = _fix(stand, values, sure or first, stand.slips)
        if not any(after.left) or after.uses == stand.uses:
            choice.offer(after.uses)
        else:
            stack.append(after)


def _fix(stand: _Stand, values: dict[Pattern, float], patterns: list[Pattern], slips: int) -> _Stand:
    """The stand after each of `patterns` is used as often as its value says, rounded, while it makes nothing extra."""
    left, stock = list(stand.left), list(stand.stock)
    taken: list[tuple[Pattern, int]] = []
    for pattern in patterns:
        times = max(1, int(values[pattern] + 1 - _NEARLY_WHOLE))
        times = min([times, *(left[i] // n for i, n in pattern.counts)])
        if (held := stock[pattern.kind]) is not None:
            times = min(times, held)
            stock[pattern.kind] = held - times
        for i, n in pattern.counts:
            left[i] -= n * times
        if times:
            taken.append((pattern, times))
    return _Stand(tuple(left), tuple(stock), (*stand.uses, *taken), stand.barred, slips)
