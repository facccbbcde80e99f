"""A search over whole layouts: fill all sheets in several orders, then empty a few and fill them better."""

from collections.abc import Sequence

from stopwright.plan.cutting.sheet_fill import Chance, Cutting, Kind, OpenSheet, Pattern, Rule, fill
from stopwright.plan.effort import Effort

Worth = tuple[int, int, int, int, int]


class Packing:
    """All sheets of one plan and the types that found no room; `worth` orders plans, less is better."""

    def __init__(self, cutting: Cutting, patterns: Sequence[Pattern], left: Sequence[int]) -> None:
        self.cutting = cutting
        self.patterns = list(patterns)
        self.areas = [pattern_area(p) for p in patterns]
        self.left = sorted(left)

    @property
    def worth(self) -> Worth:
        """Area not placed, fresh sheets, all sheets, area of the sheets, how evenly they are filled."""
        return worth_of(self.cutting, self.patterns, self.areas, self.left)


def worth_of(
    cutting: Cutting, sheets: Sequence[Pattern | OpenSheet], areas: Sequence[int], left: Sequence[int]
) -> Worth:
    """How good some sheets are; of two ways to cut the same pieces the one with less is better."""
    kinds = [cutting.kinds[s.kind] for s in sheets]
    return (
        sum(cutting.areas[t] for t in left),
        sum(not k.prefer for k in kinds),
        len(kinds),
        sum(k.length * k.width for k in kinds),
        -sum(a * a for a in areas),
    )


def pattern_area(pattern: Pattern) -> int:
    """Area of the pieces on one sheet, kerf included."""
    return sum(piece[3] * piece[4] for piece in pattern.placed)


def openable(cutting: Cutting, used: Sequence[Pattern], smallest_first: bool = False) -> list[list[int]]:
    """The kinds of which sheets can still be opened, shelf offcuts first, then the largest sheets."""
    spent = [0] * len(cutting.kinds)
    for pattern in used:
        spent[pattern.kind] += 1
    pieces = sum(cutting.demand)

    def turn(k: int) -> tuple[bool, int, int]:
        kind = cutting.kinds[k]
        area = kind.length * kind.width
        return (not kind.prefer, area if kind.prefer or smallest_first else -area, k)

    return [
        [k, pieces if (count := cutting.kinds[k].on_hand) is None else count - spent[k]]
        for k in sorted(range(len(cutting.kinds)), key=turn)
    ]


class Repacking:
    """The best packing so far and the steps that better it; the same steps every time."""

    def __init__(self, cutting: Cutting, bound: int) -> None:
        self.cutting = cutting
        self.bound = bound
        self.chance = Chance()
        self.best: Packing | None = None
        self.pool: dict[Pattern, None] = {}
        types = range(len(cutting.types))
        # Largest area, longest side, widest, longest: the four orders that fill first what is hard to place.
        self.keys: list[list[int]] = [
            list(cutting.areas),
            [max(cutting.types[t][:2]) ** 2 for t in types],
            [cutting.types[t][1] ** 2 for t in types],
            [cutting.types[t][0] ** 2 for t in types],
        ]

    @property
    def proven(self) -> bool:
        """Whether the best packing places everything on as few sheets as the bound allows."""
        return self.best is not None and not self.best.left and len(self.best.patterns) <= self.bound

    def offer(self, packing: Packing) -> bool:
        """Take a packing as the best one when it is better."""
        for pattern in packing.patterns:
            self.pool[pattern] = None
        if self.best is None or packing.worth < self.best.worth:
            self.best = packing
            return True
        return False

    def start(self, pieces: int, effort: Effort) -> None:
        """Fill everything in every order by every rule, until `pieces` are handled or the effort is spent."""
        everything = [t for t, n in enumerate(self.cutting.demand) for _ in range(n)]
        mixed = len(self.cutting.kinds) > 1
        for small in (False, True) if mixed else (False,):
            for keep in range(3):
                for by_side in (False, True):
                    for key in self.keys:
                        if self.best is not None and (self.proven or pieces <= 0 or effort()):
                            return
                        pieces -= len(everything)
                        order = sorted(everything, key=lambda t: (-key[t], t))
                        self.offer(self.fill_up([], order, Rule(by_side, keep), small))

    def finish(self, packing: Packing) -> None:
        """Offer a packing once the pieces it leaves out have been put on further sheets."""
        order = sorted(packing.left, key=lambda t: (-self.keys[0][t], t))
        self.offer(self.fill_up(packing.patterns, order, Rule(False, 0)))

    def fill_up(self, patterns: Sequence[Pattern], order: Sequence[int], rule: Rule, small: bool = False) -> Packing:
        """`patterns` kept as they are, and the pieces of `order` put on further sheets."""
        sheets: list[OpenSheet] = []
        left = fill(self.cutting, order, sheets, openable(self.cutting, patterns, small), rule, self.chance)
        return Packing(self.cutting, [*patterns, *(s.pattern() for s in sheets)], left)

    def improve(self, pieces: int, effort: Effort) -> None:
        """Take steps until `pieces` have been handled, the bound is met or the effort is spent."""
        while pieces > 0 and not self.proven and not effort():
            pieces -= self.step()

    def step(self) -> int:
        """Empty a few sheets and fill them again; the number of pieces handled."""
        best = self.best
        if best is None or not best.patterns:
            return 1
        chance, cutting = self.chance, self.cutting
        sheets = best.patterns
        many = min(len(sheets), 2 + chance.below(3))
        chosen: set[int] = set()
        if chance.below(2):
            chosen.add(best.areas.index(min(best.areas)))
        while len(chosen) < many:
            chosen.add(chance.below(len(sheets)))
        emptied = [sheets[i] for i in sorted(chosen)]
        items = [piece[0] for p in emptied for piece in p.placed] + best.left
        key = self.keys[chance.below(4)]
        noise = {t: key[t] * (64 + chance.below(64)) for t in sorted(set(items))}
        items.sort(key=lambda t: (-noise[t], t))
        rule = Rule(bool(chance.below(2)), chance.below(3))
        again: list[OpenSheet] = []
        room = [[k, sum(p.kind == k for p in emptied)] for k in sorted({p.kind for p in emptied})]
        if len(cutting.kinds) > 1 and not chance.below(4):
            kept = [p for i, p in enumerate(sheets) if i not in chosen]
            room = openable(cutting, kept, bool(chance.below(2)))
        left = fill(cutting, items, again, room, rule, chance)
        before = worth_of(cutting, emptied, [best.areas[i] for i in chosen], best.left)
        if worth_of(cutting, again, [s.area for s in again], left) < before:
            for i in sorted(chosen, reverse=True):
                del best.patterns[i], best.areas[i]
            for sheet in again:
                best.patterns.append(sheet.pattern())
                best.areas.append(sheet.area)
                self.pool[best.patterns[-1]] = None
            best.left = sorted(left)
        return len(items)

    def downsize(self) -> None:
        """Put the pieces of each sheet on a smaller or a shelf sheet where one holds them all."""
        if self.best is None or len(self.cutting.kinds) == 1:
            return
        for at in range(len(self.best.patterns)):
            patterns, left = self.best.patterns, self.best.left
            kept = patterns[:at] + patterns[at + 1 :]
            for entry in openable(self.cutting, kept, smallest_first=True):
                if not entry[1] or not _is_better(self.cutting.kinds[entry[0]], self.cutting.kinds[patterns[at].kind]):
                    continue
                for key in self.keys:
                    for keep in range(3):
                        order = sorted((q[0] for q in patterns[at].placed), key=lambda t: (-key[t], t))
                        again: list[OpenSheet] = []
                        missed = fill(self.cutting, order, again, [[entry[0], 1]], Rule(False, keep), self.chance)
                        if not missed:
                            self.offer(Packing(self.cutting, [*kept, again[0].pattern()], left))


def _is_better(kind: Kind, other: Kind) -> bool:
    """Whether a sheet of one kind serves the same pieces better than one of another: from the shelf, else smaller."""
    if kind.prefer != other.prefer:
        return kind.prefer
    return kind.length * kind.width < other.length * other.width
