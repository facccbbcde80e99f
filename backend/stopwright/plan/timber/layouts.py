"""Layouts of boards and sheets in the words of the job, as they are asked for and as they come back."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

from stopwright.lengths import Nm
from stopwright.model.gear import Blade
from stopwright.model.parts import Grain, Part
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock, StockKind, zones_within
from stopwright.plan.effort import Effort
from stopwright.plan.run_sheet import Layout, Placement, Rest

Rows: TypeAlias = tuple[tuple[int, tuple[Stock, int | None]], ...]


@dataclass(frozen=True, slots=True)
class Wanted:
    """So many pieces of a part; whether they may be turned on the sheet, or must lie across its grain."""

    part: Part
    count: int
    may_turn: bool
    across: bool

    @property
    def lies(self) -> tuple[Nm, Nm]:
        """Extent along and across the grain of the wood, nm."""
        return lies(self.part)


def lies(part: Part) -> tuple[Nm, Nm]:
    """How much a piece of the part takes along and across the grain of the wood, nm."""
    return (part.width, part.length) if part.grain is Grain.ACROSS else (part.length, part.width)


def has_factory_edges(row: Stock) -> bool:
    """Whether its ends are trimmed before they count: all but offcuts of sheets, which were cut here."""
    return not (row.is_sheet and row.kind is StockKind.OFFCUT)


@dataclass(frozen=True, slots=True)
class Laid:
    """Layouts of one group with how many boards they use, and the least possible."""

    layouts: tuple[Layout, ...]
    used: int
    least_possible: int
    proven: bool

    @property
    def placed(self) -> Counter[str]:
        """How many pieces a mark they hold."""
        placed: Counter[str] = Counter()
        for layout in self.layouts:
            for placement in layout.placements:
                placed[placement.mark] += layout.times
        return placed


@dataclass(frozen=True, slots=True)
class Cutting:
    """What the saws take: the one that rips in width, the one that crosscuts in length; nm."""

    kerf_along: Nm
    kerf_across: Nm
    trim_ends: Nm
    trim_edges: Nm


def cutting_in(shop: Shop) -> Cutting:
    """What is lost along a board (by the saw that crosscuts) and across it (by the one that rips)."""
    rips, crosscuts = shop.station_for("rip"), shop.station_for("crosscut")
    first, second = crosscuts or rips, rips or crosscuts
    if first is None or second is None:
        return Cutting(0, 0, 0, 0)
    return Cutting(first.of(Blade).kerf, second.of(Blade).kerf, first.of(Blade).trim, second.of(Blade).trim)


def lay_out(
    wanted: Sequence[Wanted],
    on_hand: Mapping[int, tuple[Stock, int | None]],
    shop: Shop,
    effort: Effort | None,
) -> Laid:
    """Fewest boards or sheets for the pieces wanted; `on_hand` gives stock row and count by its index in the job.

    Every strip holds one width only, so that each width is one fence position over the whole stack. A board loses
    the shop's width allowance at its face edge and the trim of the saw that crosscuts at both ends; a sheet is
    trimmed on all edges, each by the saw that cuts it. Without an `effort` of its own a group that was laid out
    before is answered from memory: when one part changes, only its group is searched again.
    """
    asked = (tuple(wanted), tuple(sorted(on_hand.items())), shop)
    return _kept(*asked) if effort is None else _searched(*asked, effort)


@lru_cache(maxsize=256)
def _kept(wanted: tuple[Wanted, ...], on_hand: Rows, shop: Shop) -> Laid:
    return _searched(wanted, on_hand, shop, None)


def _searched(wanted: tuple[Wanted, ...], on_hand: Rows, shop: Shop, effort: Effort | None) -> Laid:
    from stopwright.plan.timber.laying_out import search_layout  # a job without wood on hand never needs numpy

    return search_layout(wanted, on_hand, shop, effort)


def least_boards(wanted: Sequence[Wanted], on_hand: Mapping[int, tuple[Stock, int | None]], shop: Shop) -> int:
    """How few boards or sheets hold these pieces at least, however they are cut up."""
    from stopwright.plan.timber.laying_out import least_of_any

    return least_of_any(wanted, on_hand, shop)


def rest_at(place: Placement, row: Stock) -> Rest:
    """What lies at a place that no piece takes, with the zones that reach into it."""
    zones = zones_within(row.zones, row.width, place.length, place.width, place.x, place.y)
    return Rest(place.mark, place.x, place.y, place.length, place.width, place.turned, zones)


def worth_keeping(length: Nm, width: Nm, shop: Shop) -> bool:
    """Whether a rest of this size, nm, is an offcut to be kept."""
    limits = shop.limits
    return length >= limits.offcut_length and width >= limits.offcut_width
