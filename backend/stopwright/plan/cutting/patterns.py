"""Cutting stock by columns: which ways of cutting a board or sheet to use, and how often, at the least cost.

The caller knows how one board or sheet may be cut (`price`); this module chooses. Column generation after
Gilmore & Gomory (Operations Research 9, 1961, 849 and 11, 1963, 863). Every lower bound is computed in whole
numbers from the worths of the pieces, so a rounding error of the solver cannot make it too high.
"""

from collections.abc import Callable, Iterable, Sequence

from stopwright.plan.cutting.columns import WORTH_OF_COST, CuttingStock, Narrow, Pattern, Price, Priced, StockKind, Uses
from stopwright.plan.cutting.dive import dive
from stopwright.plan.cutting.master import Master
from stopwright.plan.cutting.pattern_choice import PatternChoice
from stopwright.plan.effort import Effort

__all__ = ["WORTH_OF_COST", "CuttingStock", "Pattern", "Price", "Priced", "StockKind", "solve_cutting_stock"]

_FEW = 300
_FEW_A_PIECE = 6  # beyond, going down once more finds a better choice sooner than choosing among all does
_FIRST_SLIPS = (1, 2, 3)
_LAST_SLIPS = (4, 5, 6, 8, 10)


def solve_cutting_stock(
    demands: Sequence[int],
    kinds: Sequence[StockKind],
    price: Price,
    effort: Effort,
    *,
    unmet_cost: int,
    start: Iterable[Uses] = (),
    known: Iterable[Pattern] = (),
    bound: int = 0,
    every: Callable[[], Sequence[Pattern] | None] | None = None,
    narrow: Narrow | None = None,
    whole_nodes: int = 200,
) -> CuttingStock:
    """The patterns of least cost that make every demand at least once as often as asked, best found within `effort`.

    `unmet_cost` is the price of leaving one piece out: above what any plan without gaps costs, so that pieces
    are left out only where stock is short. `start` holds known choices of patterns, `known` further patterns;
    `bound` is a known lower bound; `every` lists all patterns that matter when they are few (else None), which
    closes the last gap; `narrow` lists those worth enough to be in a better choice, where a pattern less a piece is a
    pattern too, which closes it more often. A pattern may make more pieces than asked. The answer depends on nothing
    but the arguments.

    >>> def price(worth, kind, most, beat):  # a board holds two pieces of 40, or one of 60 and one of 40
    ...     ways = [Pattern(0, ((0, 2),)), Pattern(0, ((0, 1), (1, 1)))]
    ...     value = {way: sum(worth[i] * n for i, n in way.counts) for way in ways}
    ...     better = sorted((way for way in ways if value[way] > beat), key=lambda way: -value[way])
    ...     return Priced(better, max(value.values()))
    >>> found = solve_cutting_stock([7, 3], [StockKind(1)], price, lambda: False, unmet_cost=2)
    >>> found.cost, found.bound, found.proven
    (5, 5, True)
    """
    choice = PatternChoice(demands, kinds, effort, unmet_cost, bound)
    for uses in start:
        choice.offer(uses)
    for pattern in known:
        choice.know(pattern)
    _improve(choice, price, every, narrow, whole_nodes)
    return choice.answer()


def _improve(
    choice: PatternChoice,
    price: Price,
    every: Callable[[], Sequence[Pattern] | None] | None,
    narrow: Narrow | None,
    whole_nodes: int,
) -> None:
    """Relax, round with new patterns on the way, choose among those met; each step only while it can still help."""

    def enough() -> bool:
        return choice.done() or choice.effort()

    if choice.done() or not choice.demands:
        return
    master = Master(choice, price)
    if not master.relax_root() or enough():
        return
    dive(choice, master, slips=0)
    all_known = None if enough() or every is None else every()
    if all_known is not None and len(all_known) <= _FEW:
        choice.choose(whole_nodes * 10, all_known)
    if narrow is not None:
        _choose_of_few(choice, master, narrow, whole_nodes * 10)
    for slips in _FIRST_SLIPS:
        if enough():
            return
        dive(choice, master, slips)
    if enough():
        return
    choice.choose(whole_nodes * (1 if all_known is None else 10), all_known)
    for slips in _LAST_SLIPS:
        if enough():
            return
        dive(choice, master, slips)


def _choose_of_few(choice: PatternChoice, master: Master, narrow: Narrow, nodes: int) -> None:
    """Choose among all patterns that something better may use, while they are few and something better is found."""
    while not choice.done() and not choice.effort():
        before = choice.best_cost
        few = master.every_of_better(narrow, _FEW_A_PIECE * len(choice.demands))
        if few is not None:
            choice.choose_exactly(nodes, few)
        if choice.best_cost == before:
            return
