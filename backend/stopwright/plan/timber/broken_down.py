"""Layouts where boards may be broken down: the sections are laid out as wood of their own, then put together again."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

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


def lay_out_wood(
    wanted: Sequence[Wanted],
    on_hand: Mapping[int, tuple[Stock, int | None]],
    shop: Shop,
    effort: Effort | None,
) -> Laid:
    """As `lay_out`, boards whole or in sections: as few as must be, more where that places more or takes fewer boards.

    Where boards may be broken down, the least number of them is what holds for every layout.
    """
    saw = breaking_down_in(shop)
    if saw is None or any(row.is_sheet for row, _ in on_hand.values()):
        return lay_out(wanted, on_hand, shop, effort)
    best: Laid | None = None
    for ways in _ways(wanted, on_hand, shop, saw):
        found = _fewest(wanted, on_hand, ways, saw, shop, effort)
        best = found if best is None or _worth(found) < _worth(best) else best
        if best.proven and _placed(best).total() == sum(want.count for want in wanted):
            break
    assert best is not None  # as few sections as must be are the first way
    return best


def _fewest(
    wanted: Sequence[Wanted],
    on_hand: Mapping[int, tuple[Stock, int | None]],
    ways: Mapping[int, Split],
    saw: BreakingDown,
    shop: Shop,
    effort: Effort | None,
) -> Laid:
    """Layouts on sections with as few boards as places the same: sections are counted by the engine, not boards.

    So it is asked again with fewer boards, by halves between what is certainly needed and what was found.
    """
    best = _in_sections(wanted, on_hand, ways, saw, shop, effort)
    low = best.least_possible
    while all(len(split) > 1 for split in ways.values()) and low < best.used:
        boards = (low + best.used) // 2
        found = _in_sections(wanted, _only(on_hand, boards), ways, saw, shop, effort)
        if _worth(found) < _worth(best):
            best = found
        else:
            low = boards + 1
    return replace(best, least_possible=min(best.least_possible, best.used))


def _only(on_hand: Mapping[int, tuple[Stock, int | None]], boards: int) -> dict[int, tuple[Stock, int | None]]:
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
    sections = sum(one.times * len(one.sections) for one in laid.layouts)
    return -_placed(laid).total(), laid.used, sections


def _placed(laid: Laid) -> Counter[str]:
    placed: Counter[str] = Counter()
    for layout in laid.layouts:
        for one in layout.placements:
            placed[one.mark] += layout.times
    return placed


def _ways(
    wanted: Sequence[Wanted], on_hand: Mapping[int, tuple[Stock, int | None]], shop: Shop, saw: BreakingDown
) -> Iterator[dict[int, Split]]:
    """How every row is broken down: into as few sections as must be, then into more; what fits the lengths first."""
    kerf = cutting_in(shop).kerf_along
    lengths: Counter[Nm] = Counter()
    for want in wanted:
        lengths[want.lies[0]] += want.count * want.lies[1]
    if saw.longest is not None:  # what is longer than the jointer takes is wanted all the same, and warned about
        saw = replace(saw, longest=max(saw.longest, max(lengths, default=0) + saw.over))
    tried: list[dict[int, Split]] = []
    for more in range(MORE_THAN_NEEDED + 1):
        found: dict[int, list[Split]] = {}
        for i, (row, _) in on_hand.items():
            face = face_allowance(row, shop)
            least = saw.least_sections(row, face)
            found[i] = [
                split for count in (least + more, least) for split in splits(row, count, lengths, kerf, saw, face)
            ] or [(row.length,)]
        for place in range(2):
            ways = {i: several[min(place, len(several) - 1)] for i, several in found.items()}
            if ways not in tried:
                tried.append(ways)
                yield ways


def _in_sections(
    wanted: Sequence[Wanted],
    on_hand: Mapping[int, tuple[Stock, int | None]],
    ways: Mapping[int, Split],
    saw: BreakingDown,
    shop: Shop,
    effort: Effort | None,
) -> Laid:
    """Layouts on the sections of every row, put together to boards again."""
    kinds: dict[tuple[int, Stock], int] = {}
    places: dict[int, list[int | None]] = {}
    for i, (row, _) in on_hand.items():
        places[i] = [
            kinds.setdefault((i, section), len(kinds)) if section else None
            for section in sections_of(row, ways[i], saw)
        ]
    sections_on_hand = {}
    for (i, section), kind in kinds.items():
        have = on_hand[i][1]
        sections_on_hand[kind] = (section, None if have is None else have * places[i].count(kind))
    of_kind: dict[int | None, list[Layout]] = defaultdict(list)
    for one in lay_out(wanted, sections_on_hand, shop, effort).layouts:
        of_kind[one.stock] += [one] * one.times
    boards: Counter[tuple[int, tuple[Layout | None, ...]]] = Counter()
    for i in on_hand:
        while any(of_kind[kind] for kind in places[i]):
            boards[i, tuple(of_kind[kind].pop(0) if of_kind[kind] else None for kind in places[i])] += 1
    layouts = tuple(
        _board(i, on_hand[i][0], ways[i], sections, saw, shop, times) for (i, sections), times in boards.items()
    )
    return _bounded(layouts, wanted, on_hand, shop)


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


def _bounded(
    layouts: tuple[Layout, ...],
    wanted: Sequence[Wanted],
    on_hand: Mapping[int, tuple[Stock, int | None]],
    shop: Shop,
) -> Laid:
    """The layouts with the number of boards that what they hold cannot go below, however boards are cut up."""
    used = sum(one.times for one in layouts)
    placed = _placed(Laid(layouts, used, 0, False))
    held = [replace(want, count=placed[want.part.mark]) for want in wanted]
    least = min(used, least_boards(held, on_hand, shop))
    return Laid(layouts, used, least, used == least)
