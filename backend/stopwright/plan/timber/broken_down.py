"""Layouts where boards may be broken down: the sections are laid out as wood of their own, then put together again."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock, StockKind
from stopwright.plan.effort import Effort
from stopwright.plan.run_sheet import Cut, Layout, Placement, Rest, Section
from stopwright.plan.timber.layouts import Laid, Wanted, cutting_in, lay_out, least_boards, rest_at, worth_keeping
from stopwright.plan.timber.sections import (
    BREAK_DOWN,
    MORE_THAN_NEEDED,
    BreakingDown,
    Split,
    breaking_down_in,
    face_allowance,
    sections_of,
    splits,
)

OnHand: TypeAlias = Mapping[int, tuple[Stock, int | None]]
"""Stock rows and how many there are, None for as many as wanted, by their index in the job."""


def lay_out_wood(
    wanted: Sequence[Wanted],
    on_hand: OnHand,
    shop: Shop,
    effort: Effort | None,
) -> Laid:
    """As `lay_out`, boards whole or in sections: as few as must be, more where that places more or takes fewer boards.

    Where boards may be broken down, the least number of them is what holds for every layout.
    """
    saw = breaking_down_in(shop)
    if saw is None or any(row.is_sheet for row, _ in on_hand.values()):
        return lay_out(wanted, on_hand, shop, effort)
    return _Breaking(wanted, on_hand, saw, shop, effort).best()


@dataclass(frozen=True, slots=True)
class _Breaking:
    """Boards that may be broken down, and what is wanted of them."""

    wanted: Sequence[Wanted]
    on_hand: OnHand
    saw: BreakingDown
    shop: Shop
    effort: Effort | None

    def best(self) -> Laid:
        best: Laid | None = None
        for ways in self._ways():
            found = self._fewest(ways)
            best = found if best is None or _worth(found) < _worth(best) else best
            if best.proven and best.placed.total() == sum(want.count for want in self.wanted):
                break
        assert best is not None  # as few sections as must be are the first way
        return best

    def _ways(self) -> Iterator[dict[int, Split]]:
        """How every row is broken down: into as few sections as must be, then into more; what fits best first."""
        kerf = cutting_in(self.shop).kerf_along
        lengths: Counter[Nm] = Counter()
        for want in self.wanted:
            lengths[want.lies[0]] += want.count * want.lies[1]
        saw = self.saw
        if saw.longest is not None:  # what is longer than the jointer takes is wanted all the same, and warned about
            saw = replace(saw, longest=max(saw.longest, max(lengths, default=0) + saw.over))
        tried: list[dict[int, Split]] = []
        for more in range(MORE_THAN_NEEDED + 1):
            found: dict[int, list[Split]] = {}
            for i, (row, _) in self.on_hand.items():
                face = face_allowance(row, self.shop)
                least = saw.least_sections(row, face)
                counts = dict.fromkeys((least + more, least))
                found[i] = [split for count in counts for split in splits(row, count, lengths, kerf, saw, face)]
            for place in range(2):
                ways = {i: several[min(place, len(several) - 1)] for i, several in found.items()}
                if ways not in tried:
                    tried.append(ways)
                    yield ways

    def _fewest(self, ways: Mapping[int, Split]) -> Laid:
        """Layouts on sections with as few boards as places the same: the engine counts sections, not boards.

        So it is asked again with fewer boards, by halves between what is certainly needed and what was found.
        """
        best = self._in_sections(ways, self.on_hand)
        low = best.least_possible
        while all(len(split) > 1 for split in ways.values()) and low < best.used:
            boards = (low + best.used) // 2
            found = self._in_sections(ways, _only(self.on_hand, boards))
            if _worth(found) < _worth(best):
                best = found
            else:
                low = boards + 1
        return replace(best, least_possible=min(best.least_possible, best.used))

    def _in_sections(self, ways: Mapping[int, Split], on_hand: OnHand) -> Laid:
        """Layouts on the sections of every row, put together to boards again."""
        kinds: dict[tuple[int, Stock], int] = {}
        places: dict[int, list[int | None]] = {}
        for i, (row, _) in on_hand.items():
            sections = sections_of(row, ways[i], self.saw)
            places[i] = [kinds.setdefault((i, one), len(kinds)) if one else None for one in sections]
        sections_on_hand = {}
        for (i, section), kind in kinds.items():
            have = on_hand[i][1]
            sections_on_hand[kind] = (section, None if have is None else have * places[i].count(kind))
        of_kind: dict[int | None, list[Layout]] = defaultdict(list)
        for one in lay_out(self.wanted, sections_on_hand, self.shop, self.effort).layouts:
            of_kind[one.stock] += [one] * one.times
        boards: Counter[tuple[int, tuple[Layout | None, ...]]] = Counter()
        for i in on_hand:
            while any(of_kind[kind] for kind in places[i]):
                boards[i, tuple(of_kind[kind].pop(0) if of_kind[kind] else None for kind in places[i])] += 1
        layouts = tuple(
            _board(i, on_hand[i][0], ways[i], sections, self.saw, self.shop, times)
            for (i, sections), times in boards.items()
        )
        return self._bounded(Laid(layouts, boards.total(), 0, False), on_hand)

    def _bounded(self, laid: Laid, on_hand: OnHand) -> Laid:
        """The layouts with the number of boards that what they hold cannot go below, however boards are cut up."""
        placed = laid.placed
        held = [replace(want, count=placed[want.part.mark]) for want in self.wanted]
        least = min(laid.used, least_boards(held, on_hand, self.shop))
        return replace(laid, least_possible=least, proven=laid.used == least)


def _only(on_hand: OnHand, boards: int) -> OnHand:
    """So many of these boards: offcuts first, then the largest."""
    order = sorted(
        on_hand,
        key=lambda i: (on_hand[i][0].kind is not StockKind.OFFCUT, -on_hand[i][0].length * on_hand[i][0].width, i),
    )
    kept: dict[int, tuple[Stock, int | None]] = {}
    for i in order:
        row, have = on_hand[i]
        count = boards if have is None else min(have, boards)
        if count:
            kept[i] = (row, count)
        boards -= count
    return kept


def _worth(laid: Laid) -> tuple[int, int, int]:
    """What is wanted of layouts, the least first: pieces not placed, boards, sections."""
    return -laid.placed.total(), laid.used, sum(one.times * len(one.sections) for one in laid.layouts)


def _board(
    i: int, row: Stock, split: Split, sections: Sequence[Layout | None], saw: BreakingDown, shop: Shop, times: int
) -> Layout:
    """A whole board from what its sections are cut into; a section that holds nothing is left as an offcut."""
    starts = [sum(split[:n]) + n * saw.kerf for n in range(len(split))]
    placements: list[Placement] = []
    rests: list[Rest] = []
    cuts = [Cut(n, BREAK_DOWN, start - saw.kerf, 0, row.width) for n, start in enumerate(starts[1:], start=1)]
    for start, length, section in zip(starts, split, sections, strict=True):
        if section is None:
            rests.append(rest_at(Placement(row.label, start, 0, length, row.width), row))
            continue
        placements += [replace(one, x=one.x + start) for one in section.placements]
        rests += [replace(one, x=one.x + start) for one in section.rests]
        before = len(cuts)
        cuts += [
            replace(
                cut,
                number=before + cut.number,
                position=cut.position + (0 if cut.work == "rip" else start),
                start=cut.start + (start if cut.work == "rip" else 0),
                end=cut.end + (start if cut.work == "rip" else 0),
            )
            for cut in section.cuts
        ]
    return Layout(
        i,
        row.material,
        row.length,
        row.width,
        row.thickness,
        times,
        tuple(placements),
        tuple(cuts),
        tuple(rest for rest in rests if worth_keeping(*rest.clean, shop)),
        tuple(rests),
        sections=tuple(map(Section, starts, split)) if len(split) > 1 else (),
    )
