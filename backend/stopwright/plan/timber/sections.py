"""Boards broken down: crosscut roughly into sections before anything is made true, by which rules and where.

A bow of s over a board of length L leaves s·(l/L)² in a section of length l: s/m² in each of m equal ones (an arc of
12 over 2400 leaves 0.75 in 600; by calculation). Cutting first and jointing after is published practice.
"""

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement, islice
from math import ceil, isqrt
from typing import TypeAlias

from stopwright.lengths import INCH, MM, Nm, Show
from stopwright.model.gear import Blade, Rollers, Tables
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock, zones_within

BREAK_DOWN = "break down"
MORE_THAN_NEEDED = 2
"""So many sections more than must be are tried where that may save a board."""
_TRIED = 3000
_LENGTHS = 5
_MOST_SUMS = 400

Split: TypeAlias = tuple[Nm, ...]
"""The lengths of the sections of a board, from its first end on, nm."""


@dataclass(frozen=True, slots=True)
class BreakingDown:
    """How the shop breaks down: what the cut takes, what each section has over, and how short and long it may be; nm.

    `over` is kept for the squaring of its ends and for a cut by mark; `longest` None is as long as the board. Where a
    board is cut is a multiple of `mark`, so that a person can mark it. Where nothing `planes`, a bow costs nothing.
    """

    mark: Nm
    kerf: Nm
    over: Nm
    trim: Nm
    shortest: Nm
    longest: Nm | None
    planes: bool

    def straight(self, row: Stock, face: Nm) -> Nm:
        """The longest section of this board whose bow costs no more than `face`, but none too short for the planer."""
        if not self.planes or row.bow <= face:
            return row.length
        return max(isqrt(row.length**2 * face // row.bow), min(self.shortest, row.length))

    def limit(self, row: Stock, face: Nm) -> Nm:
        """The longest section of this board: straight enough, and the jointer takes it."""
        straight = self.straight(row, face)
        return straight if self.longest is None else min(straight, max(self.longest, min(self.shortest, row.length)))

    def least_sections(self, row: Stock, face: Nm) -> int:
        """How many sections a board needs at least."""
        limit = self.limit(row, face)
        return max(1, -(-(row.length + self.kerf) // (limit + self.kerf)))

    def equal_split(self, row: Stock, count: int, limit: Nm) -> Split:
        """So many sections of one length, the last a little shorter."""
        each = -(-(row.length - (count - 1) * self.kerf) // count)
        each = min(self.marked(each), max(each, limit))
        return (*(each for _ in range(count - 1)), row.length - (count - 1) * (each + self.kerf))

    def split_with_a_rest(self, row: Stock, limit: Nm) -> Split:
        """As many of the longest sections as go into a board, and what is left, too short to be worked."""
        each = limit // self.mark * self.mark
        whole, rest = divmod(row.length, each + self.kerf)
        if rest > limit:  # it would be whole, but for the kerf
            return (*(each for _ in range(whole)), rest - self.kerf - self.mark, self.mark)
        return (*(each for _ in range(whole)), *([rest] if rest else ()))

    def marked(self, length: Nm) -> Nm:
        """The next length from here on that can be marked."""
        return -(-length // self.mark) * self.mark


def breaking_down_in(shop: Shop) -> BreakingDown | None:
    """How boards are broken down in this shop, None where no station does it."""
    saw = shop.station_for(BREAK_DOWN)
    if saw is None:
        return None
    joints, planes = shop.station_for("joint"), shop.station_for("plane")
    crosscut = (shop.station_for("crosscut") or saw).of(Blade)
    over = max(shop.allowance.length, 2 * crosscut.trim, crosscut.kerf)
    shortest = (planes.of(Rollers).rollers if planes else 0) + shop.allowance.length
    longest = joints.of(Tables).longest if joints else None
    mark = MM if shop.show is Show.MM else INCH // 16
    return BreakingDown(mark, saw.of(Blade).kerf, over, crosscut.trim, shortest, longest, planes is not None)


def face_allowance(row: Stock, shop: Shop) -> Nm:
    """What the shop reckons for the first face of a board, nm: nothing where it was bought planed."""
    return 0 if row.planed else shop.allowance.thickness


def face_loss(row: Stock, shop: Shop) -> Nm:
    """What the first face of a board loses until it is true, nm: the shop's allowance, or its bow where that is more.

    A board that is broken down loses the bow of its longest section. One bought planed loses its bow alone.
    """
    allowance = face_allowance(row, shop)
    saw = breaking_down_in(shop)
    longest = saw.straight(row, allowance) if saw else row.length
    return max(allowance, ceil(row.bow * longest**2 / row.length**2))


def planing_loss(row: Stock, shop: Shop) -> Nm:
    """What both faces of a board lose until it is planed, nm; nothing where the shop planes nothing."""
    return face_loss(row, shop) + face_allowance(row, shop) if shop.station_for("plane") else 0


def splits(row: Stock, count: int, lengths: Mapping[Nm, Nm], kerf: Nm, saw: BreakingDown, face: Nm) -> Iterator[Split]:
    """Ways to break a board down into `count` sections, what wastes least first.

    `lengths` are those wanted of it, with the width of all their pieces together, and `kerf` is the crosscut saw's; nm.
    """
    if count == 1:
        yield (row.length,)
        return
    limit = saw.limit(row, face)
    equal = saw.equal_split(row, count, limit)
    most = sorted(lengths, key=lambda one: -one * lengths[one])[:_LENGTHS]
    sums = _sums([one + kerf for one in most], limit - saw.over + kerf)
    wanted = [saw.marked(one - kerf + saw.over) for one in sums if one]
    fitting = [one for one in wanted if saw.shortest <= one <= limit]

    def waste(split: Split) -> tuple[Nm, int]:
        rooms = [one - saw.over + kerf for one in split]
        return sum(room - sums[bisect_right(sums, room) - 1] for room in rooms if room > 0), len(set(split))

    found = {equal}
    for firsts in islice(combinations_with_replacement(fitting[::-1], count - 1), _TRIED):
        last = row.length - sum(firsts) - (count - 1) * saw.kerf
        if saw.shortest <= last <= limit:
            found.add((*firsts, last))
    if min(equal) < saw.shortest:
        yield saw.split_with_a_rest(row, limit)
    else:
        yield from sorted(found, key=lambda split: (*waste(split), split))[:2]


def _sums(lengths: Sequence[Nm], limit: Nm) -> list[Nm]:
    """Every sum of some of these lengths up to a limit, rising, 0 first."""
    found = {0}
    edge = [0]
    while edge and len(found) < _MOST_SUMS:
        edge = sorted({one + length for one in edge for length in lengths if one + length <= limit} - found)
        found.update(edge)
    return sorted(found)


def sections_of(row: Stock, split: Split, saw: BreakingDown) -> list[Stock | None]:
    """Every section of a board as wood that is laid out for itself, None for a rest that is too short to be worked."""
    if len(split) == 1:
        return [row]
    found: list[Stock | None] = []
    start = 0
    for length in split:
        usable = length - (saw.over - 2 * saw.trim)
        zones = zones_within(row.zones, row.width, max(usable, 0), row.width, start)
        short = length < saw.shortest or usable <= 0
        found.append(None if short else replace(row, length=usable, zones=zones))
        start += length + saw.kerf
    return found
