"""Panels glued from strips: how many strips, how wide and thick they are, and what is taken off before and after."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace

from stopwright.lengths import MM, Nm
from stopwright.model.job import Job
from stopwright.model.parts import Made, PanelStrip, Part, drawn_size
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock
from stopwright.plan.effort import Steps
from stopwright.plan.timber.broken_down import lay_out_wood
from stopwright.plan.timber.calibrating import planed_part
from stopwright.plan.timber.layouts import Wanted, cutting_in
from stopwright.plan.timber.sections import breaking_down_in, planing_loss
from stopwright.plan.timber.strip_cover import cover_panels
from stopwright.plan.timber.sub_panels import Split, passes_of, split_panel

USUAL_STRIP: Nm = 120 * MM
"""How wide a strip is at most where the part list says nothing (common practice)."""
TRIM: Nm = 10 * MM
"""What is trimmed off each edge of a panel after gluing (common practice; about an inch in all is published)."""
JOINTING: Nm = 8 * MM // 10
"""What an edge loses at the jointer before gluing, 0.5 to 1 (common practice)."""
SECOND_MILLING: Nm = 15 * MM // 10
"""How much thicker a panel is glued than finished, 1 to 2 (common practice)."""
_GLANCE = 60  # steps of search for how many strips a board gives that may be broken down
MOST_BOARDS = 40
"""So many boards are looked at for strips as wide as they are."""
JAW: Nm = 25 * MM
"""The jaw of a clamp (common practice)."""
REST_HOURS = 24
"""How long a panel rests before it is planed, or its joint lines sink (a maker's page on edge-to-edge joints)."""


@dataclass(frozen=True, slots=True)
class Panel:
    """How one part is glued: so many strips, each as wide and long and thick as it is when it is glued; nm.

    Where each is as wide as its board, `own` are all of them, panel by panel and from the left; `strip` is the first.
    """

    part: Part
    strip: PanelStrip
    strips: int
    own: tuple[PanelStrip, ...] = ()

    @property
    def all_strips(self) -> tuple[PanelStrip, ...]:
        """Its strips as parts of the job: equal ones are one part."""
        return self.own or (self.strip,)

    def strips_of(self, nth: int) -> tuple[PanelStrip, ...]:
        """Every strip of the panel of this number, from the left."""
        return tuple(one for one in self.own if one.nth == nth) or (self.strip,) * self.strips

    @property
    def split(self) -> Split:
        """Its strips, and the sub-panels that they are glued to first."""
        return Split(self.strips, self.strip.width - 2 * JOINTING, self.strip.sub_panels)

    @property
    def is_split(self) -> bool:
        """Whether it is glued in sub-panels first, for it is wider than what trues it."""
        return self.strip.sub_panels > 1

    @property
    def glued(self) -> tuple[Nm, Nm, Nm]:
        """Length, width and thickness of the panel, or of its widest sub-panel, as its strips are glued, nm."""
        width = self.split.each[0] * self.split.jointed
        return (self.strip.length, self.width_of(1) if self.own else width, self.strip.thickness)

    def width_of(self, nth: int) -> Nm:
        """How wide the strips of the panel of this number are together, nm."""
        return sum(one.width - 2 * JOINTING for one in self.strips_of(nth))

    @property
    def clamps(self) -> int:
        """How many clamps where strips are glued: they stand twice an edge strip and a jaw apart.

        >>> strip = PanelStrip("As", "Strip", 5, 1200 * MM, 125 * MM, 20 * MM)
        >>> Panel(Part("A", "Top", 1, 1175 * MM, 600 * MM, 18 * MM), strip, 5).clamps
        5
        """
        return clamps_along(self.strip.length, self.strip.width)

    @property
    def sub_panels(self) -> tuple[Nm, ...]:
        """How wide the sub-panels are when the edges that meet are made, nm; from the left."""
        each, last = self.split.each, self.strip.sub_panels - 1
        meet = [(1 if place in (0, last) else 2) for place in range(len(each))]
        return tuple(n * self.split.jointed - edges * JOINTING for n, edges in zip(each, meet, strict=True))

    @property
    def last_clamps(self) -> int:
        """How many clamps where sub-panels are glued to each other: the narrower of the outer ones tells."""
        return clamps_along(self.strip.length, min(self.sub_panels[0], self.sub_panels[-1]))


def clamps_along(length: Nm, edge: Nm) -> int:
    """How many clamps for joints so long, the narrower edge strip so wide: pressure spreads at 45 degrees; nm.

    >>> clamps_along(1200 * MM, 125 * MM), clamps_along(200 * MM, 125 * MM)
    (5, 2)
    """
    return max(-(-length // (2 * edge + JAW)), 2)


def panel_of(part: Part, mark: str, shop: Shop, stock: Iterable[Stock] = ()) -> Panel:
    """The strips of a panel: as few as may be so wide, all of them equal, and no wider than the boards on hand give.

    What is wider than the planer takes is glued in sub-panels that pass it.

    600 wide, 10 trimmed off each edge, strips of 120 at most: six of 104.9 before their edges are jointed.

    >>> from stopwright.model.stations import Station
    >>> shop = Shop("Ours", (Station("bench", ("glue",)),))
    >>> found = panel_of(Part("A", "Top", 1, 1200 * MM, 600 * MM, 18 * MM, made=Made.PANEL), "As", shop)
    >>> found.strips, round(found.strip.width / MM, 1)
    (6, 104.9)
    """
    wide = part.width + 2 * TRIM
    widest = min([part.strip or USUAL_STRIP, *widths_on_hand(part, shop, stock)[:1]])
    split = split_panel(wide, widest, passes_of(shop), JOINTING)
    strip = PanelStrip(
        mark=mark,
        name=f"Strip of {part.name}"[:200],
        quantity=split.strips * part.quantity,
        length=part.length + shop.allowance.length,
        width=split.jointed + 2 * JOINTING,
        thickness=_glued_thickness(part, shop),
        material=part.material,
        note=f"for {part.mark}",
        panel=part.mark,
        sub_panels=split.sub_panels,
    )
    return Panel(part, strip, split.strips)


def panels_of(job: Job, shop: Shop) -> tuple[Panel, ...]:
    """Every panel of a job, its strips under marks that are free; one that gets its size dry is glued as drawn."""
    taken = {part.mark for part in job.parts}
    left: dict[int, int] = {}
    found = []
    for part in job.parts:
        if part.is_glued:
            length, width = drawn_size(part) or (part.length, part.width)
            drawn = replace(part, length=length, width=width)
            panel = _of_boards(drawn, shop, job.stock, left, taken) if part.made is Made.BOARDS else None
            panel = panel or panel_of(drawn, _free(f"{part.mark}s", taken), shop, job.stock)
            taken.update(strip.mark for strip in panel.all_strips)
            found.append(replace(panel, part=part))
    return tuple(found)


def _free(mark: str, taken: AbstractSet[str]) -> str:
    return next(name for name in (mark, *(f"{mark}{n}" for n in range(2, len(taken) + 3))) if name not in taken)


def _of_boards(
    part: Part, shop: Shop, stock: Sequence[Stock], left: dict[int, int], taken: AbstractSet[str]
) -> Panel | None:
    """The panels of a part from the fewest boards, each as wide as it is; None where they cannot be made so.

    The boards are taken from what is `left` of each row, and not cut for anything else. The widest come to the edges,
    where they are trimmed, the narrowest to the middle.
    """
    wide, passes = part.width + 2 * TRIM, passes_of(shop)
    slots = strips_on_hand(part, shop, stock, left)[:MOST_BOARDS]
    cover = cover_panels([width for width, _ in slots], [wide] * part.quantity) if shop.station_for("joint") else None
    if cover is None:
        return None
    long = part.length + shop.allowance.length
    own = []
    for nth, places in enumerate(cover.boards, start=1):
        here = sorted((slots[place] for place in places), reverse=True)
        for place, (jointed, row) in enumerate((*here[::2], *here[1::2][::-1]), start=1):
            own.append(
                PanelStrip(
                    mark=_free(f"{part.mark}{nth}.{place}", taken),
                    name=f"Strip {place} of {part.name}{f', panel {nth}' if part.quantity > 1 else ''}"[:200],
                    quantity=1,
                    length=long,
                    width=jointed + 2 * JOINTING,
                    thickness=_glued_thickness(part, shop),
                    material=part.material,
                    note=f"for {part.mark}",
                    panel=part.mark,
                    row=row,
                    nth=nth,
                    place=place,
                )
            )
    panel = Panel(part, own[0], sum(one.nth == 1 for one in own), tuple(own))
    if passes is not None and max(panel.width_of(nth) for nth in range(1, part.quantity + 1)) > passes:
        return None
    for row, count in Counter(one.row for one in own if one.row is not None).items():
        left[row] = left.get(row, _count(stock[row])) + -count // _along(stock[row], own[0], shop)
    return panel


def _count(row: Stock) -> int:
    """How many boards of a row are reckoned with: of as many as needed one."""
    return 1 if row.quantity is None else row.quantity


def _along(row: Stock, strip: Part, shop: Shop) -> int:
    """How many strips so long come one after the other out of a board of this row, from its part without a flaw.

    Where a shop breaks boards down, that is tried.
    """
    if breaking_down_in(shop):
        one = replace(strip, width=row.clean[1] - shop.allowance.width)
        most = row.length // strip.length
        laid = lay_out_wood([Wanted(one, most, False, False)], {0: (row, 1)}, shop, Steps(_GLANCE)) if most else None
        return laid.placed[one.mark] if laid else 0
    cutting = cutting_in(shop)
    return (row.clean[0] - 2 * cutting.trim_ends + cutting.kerf_along) // (strip.length + cutting.kerf_along)


def strips_on_hand(part: Part, shop: Shop, stock: Iterable[Stock], left: Mapping[int, int]) -> list[tuple[Nm, int]]:
    """Strips that boards give where each is as wide as its board: how wide when jointed, nm, and of which row.

    A strip for every length that a board holds, from its part without a flaw; widest first. Only boards of the panel's
    wood count that are thick and long enough; `left` says of how many of a row nothing was taken yet.
    """
    strip = PanelStrip(
        part.mark, part.name, 1, part.length + shop.allowance.length, part.width, _glued_thickness(part, shop)
    )
    found: list[tuple[Nm, int]] = []
    for place, row in enumerate(stock):
        jointed = row.clean[1] - shop.allowance.width - 2 * JOINTING
        fits = not row.is_sheet and row.material.casefold() == part.material.casefold()
        if fits and jointed > 0 and row.thickness - planing_loss(row, shop) >= strip.thickness:
            found += [(jointed, place)] * (left.get(place, _count(row)) * _along(row, strip, shop))
    return sorted(found, key=lambda one: (-one[0], one[1]))


def _glued_thickness(part: Part, shop: Shop) -> Nm:
    """How thick the strips of a panel are planed before they are glued, nm."""
    return planed_part(part, shop).thickness + SECOND_MILLING


def widths_on_hand(part: Part, shop: Shop, stock: Iterable[Stock]) -> list[Nm]:
    """How wide strips are that boards on hand give where each is as wide as its board, jointed; widest first, nm."""
    return [width for width, _ in strips_on_hand(part, shop, stock, {})]


def panel_in(job: Job, mark: str) -> Panel:
    """The panel of this mark, or with strips of this mark, in a job that has strips as parts."""
    part = job.part(mark)
    if isinstance(part, PanelStrip):
        return panel_in(job, part.panel)
    strips = [one for one in job.parts if isinstance(one, PanelStrip) and one.panel == mark]
    own = tuple(sorted((one for one in strips if one.row is not None), key=lambda one: (one.nth, one.place)))
    if own:
        return Panel(part, own[0], sum(one.nth == 1 for one in own), own)
    return Panel(part, strips[0], strips[0].quantity // part.quantity)


def with_strips(job: Job, panels: Iterable[Panel]) -> Job:
    """The job with the strips of its panels as parts beside the panels themselves."""
    strips = tuple(strip for panel in panels for strip in panel.all_strips)
    return replace(job, parts=(*job.parts, *strips)) if strips else job
