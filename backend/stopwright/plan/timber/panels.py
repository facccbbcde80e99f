"""Panels glued from strips: how many strips, how wide and thick they are, and what is taken off before and after."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from stopwright.lengths import MM, Nm, Show, format_length
from stopwright.model.counts import counted
from stopwright.model.job import Job
from stopwright.model.parts import Grain, Kind, Made, PanelStrip, Part
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock
from stopwright.plan.run_sheet import Remark
from stopwright.plan.timber.calibrating import planed_part
from stopwright.plan.timber.sections import planing_loss
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
MOST_BOARDS = 40
"""So many boards are looked at for strips as wide as they are."""
JAW: Nm = 25 * MM
"""The jaw of a clamp (common practice)."""
REST_HOURS = 24
"""How long a panel rests before it is planed, or its joint lines sink (a maker's page on edge-to-edge joints)."""


@dataclass(frozen=True, slots=True)
class Panel:
    """How one part is glued: so many strips, each as wide and long and thick as it is when it is glued; nm."""

    part: Part
    strip: PanelStrip
    strips: int

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
        return (self.strip.length, width, self.strip.thickness)

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
        thickness=planed_part(part, shop).thickness + SECOND_MILLING,
        material=part.material,
        note=f"for {part.mark}",
        panel=part.mark,
        sub_panels=split.sub_panels,
    )
    return Panel(part, strip, split.strips)


def panels_of(job: Job, shop: Shop) -> tuple[Panel, ...]:
    """Every panel of a job, its strips under marks that are free."""
    taken = {part.mark for part in job.parts}
    found = []
    for part in job.parts:
        if part.made is Made.PANEL:
            names = (f"{part.mark}s", *(f"{part.mark}s{number}" for number in range(2, len(taken) + 2)))
            mark = next(name for name in names if name not in taken)
            taken.add(mark)
            found.append(panel_of(part, mark, shop, job.stock))
    return tuple(found)


def widths_on_hand(part: Part, shop: Shop, stock: Iterable[Stock]) -> list[Nm]:
    """What strips for a panel boards on hand give where each is as wide as its board, jointed; widest first, nm.

    A strip for every length that a board holds, from its part without a flaw; of boards as needed one. Only boards
    of the panel's wood count that are thick and long enough.
    """
    long, thick = part.length + shop.allowance.length, planed_part(part, shop).thickness + SECOND_MILLING
    found: list[Nm] = []
    for row in stock:
        length, width = row.clean
        jointed = width - shop.allowance.width - 2 * JOINTING
        fits = not row.is_sheet and row.material.casefold() == part.material.casefold()
        if fits and jointed > 0 and row.thickness - planing_loss(row, shop) >= thick:
            found += [jointed] * ((1 if row.quantity is None else row.quantity) * (length // long))
    return sorted(found, reverse=True)


def as_wide_as_boards(panels: Iterable[Panel], stock: Sequence[Stock], shop: Shop) -> Iterator[str]:
    """A note for every panel that fewer strips would cover if each were as wide as its board."""
    for panel in panels:
        part = panel.part
        widths = widths_on_hand(part, shop, stock)[:MOST_BOARDS]
        cover = cover_panels(widths, [part.width + 2 * TRIM] * part.quantity)
        if cover is None or cover.count >= panel.strips * part.quantity:
            continue
        each = (said_widths([widths[place] for place in one], shop.show) for one in cover.boards)
        least = "fewer is not possible" if cover.proven else f"at least {cover.least} are needed"
        yield (
            f"{part.mark}: planned are {counted(panel.strips * part.quantity, 'equal strip')}. Each as wide as its "
            f"board, {cover.count} would do, clear of jointing: {'; '.join(each)}; {least}"
        )


def said_widths(widths: Sequence[Nm], show: Show) -> str:
    """Widths beside each other as one says them.

    >>> said_widths([126 * MM, 97 * MM], Show.MM)
    '126 and 97 mm'
    """
    said = [format_length(one, show, with_unit=False) for one in widths]
    return f"{', '.join(said[:-1])}{' and ' if said[:-1] else ''}{said[-1]} {show.unit}"


def panel_in(job: Job, mark: str) -> Panel:
    """The panel of this mark in a job that has its strips as parts."""
    part = job.part(mark)
    strip = next(one for one in job.parts if isinstance(one, PanelStrip) and one.panel == mark)
    return Panel(part, strip, strip.quantity // part.quantity)


def not_passing(panels: Iterable[Panel], shop: Shop) -> Iterator[Remark]:
    """A fault for every panel with strips so wide that no sub-panel of two passes what trues it."""
    passes = passes_of(shop)
    for panel in panels:
        if passes is not None and panel.glued[1] > passes:
            one, takes, half = (format_length(it, shop.show) for it in (panel.split.jointed, passes, passes // 2))
            text = f"its strips are {one} wide, and what trues the panel takes {takes}"
            yield Remark(panel.part.mark, f"{text}; let a strip be {half} wide at most, so that two pass")


def too_wide(parts: Iterable[Part], stock: Iterable[Stock]) -> Iterator[Remark]:
    """A remark for every solid part that is wider than any board of its material on hand."""
    widest: dict[str, Nm] = {}
    for row in stock:
        if not row.is_sheet:
            wood = row.material.casefold()
            widest[wood] = max(widest.get(wood, 0), row.width)
    for part in parts:
        whole = part.kind is Kind.SOLID and part.made is Made.WHOLE and part.grain is not Grain.ACROSS
        if whole and part.width > widest.get(part.material.casefold(), part.width):
            yield Remark(part.mark, 'is wider than any board on hand; glue it from strips: made = "panel"')


def with_strips(job: Job, panels: Iterable[Panel]) -> Job:
    """The job with the strips of its panels as parts beside the panels themselves."""
    strips = tuple(panel.strip for panel in panels)
    return replace(job, parts=(*job.parts, *strips)) if strips else job
