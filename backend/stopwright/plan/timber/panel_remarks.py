"""What there is to say of panels glued from strips, and of parts that would have to be one."""

from collections.abc import Iterable, Iterator, Sequence

from stopwright.lengths import Nm, Show, format_length
from stopwright.model.counts import counted
from stopwright.model.parts import Grain, Kind, Made, Part
from stopwright.model.stations import Shop
from stopwright.model.stock import Stock
from stopwright.plan.run_sheet import Remark
from stopwright.plan.timber.panels import MOST_BOARDS, TRIM, Panel, widths_on_hand
from stopwright.plan.timber.strip_cover import cover_panels
from stopwright.plan.timber.sub_panels import passes_of


def as_wide_as_boards(panels: Iterable[Panel], stock: Sequence[Stock], shop: Shop) -> Iterator[str]:
    """A note for every panel of equal strips that fewer would cover if each were as wide as its board.

    None where such a panel would not pass what trues it: it would be glued from equal strips all the same.
    """
    passes = passes_of(shop)
    for panel in panels:
        part = panel.part
        if part.made is Made.BOARDS:
            continue
        widths = widths_on_hand(part, shop, stock)[:MOST_BOARDS]
        cover = cover_panels(widths, [part.width + 2 * TRIM] * part.quantity)
        if cover is None or cover.count >= panel.strips * part.quantity:
            continue
        if passes is not None and any(sum(widths[place] for place in one) > passes for one in cover.boards):
            continue
        each = (said_widths([widths[place] for place in one], shop.show) for one in cover.boards)
        least = "fewer is not possible" if cover.proven else f"at least {cover.least} are needed"
        yield (
            f"{part.mark}: planned are {counted(panel.strips * part.quantity, 'equal strip')}. Each as wide as its "
            f"board, {cover.count} would do, clear of jointing: {'; '.join(each)}; {least}; "
            'made = "boards" plans it so'
        )


def said_widths(widths: Sequence[Nm], show: Show) -> str:
    """Widths beside each other as one says them.

    >>> said_widths([126_000_000, 97_000_000], Show.MM)
    '126 and 97 mm'
    """
    said = [format_length(one, show, with_unit=False) for one in widths]
    return f"{', '.join(said[:-1])}{' and ' if said[:-1] else ''}{said[-1]} {show.unit}"


def not_passing(panels: Iterable[Panel], shop: Shop) -> Iterator[Remark]:
    """A fault for every panel with strips so wide that no sub-panel of two passes what trues it."""
    passes = passes_of(shop)
    for panel in panels:
        if passes is not None and panel.glued[1] > passes:
            one, takes, half = (format_length(it, shop.show) for it in (panel.split.jointed, passes, passes // 2))
            text = f"its strips are {one} wide, and what trues the panel takes {takes}"
            yield Remark(panel.part.mark, f"{text}; let a strip be {half} wide at most, so that two pass")


def not_of_boards(panels: Iterable[Panel], shop: Shop) -> Iterator[Remark]:
    """A warning for every panel that was to be glued from boards as wide as they are, and cannot be."""
    passes = passes_of(shop)
    for panel in panels:
        if panel.part.made is Made.BOARDS and not panel.own:
            why = "the boards on hand, each as wide as it is, do not cover it"
            if passes is not None and panel.part.width + 2 * TRIM > passes:
                why = f"it is wider than the {format_length(passes, shop.show)} that pass, so it is glued in sub-panels"
            yield Remark(panel.part.mark, f"{why}; planned are equal strips")


def of_one_strip(panels: Iterable[Panel]) -> Iterator[Remark]:
    """A warning for every panel that one strip covers: there is nothing to glue."""
    for panel in panels:
        if any(len(panel.strips_of(nth)) == 1 for nth in range(1, panel.part.quantity + 1)):
            yield Remark(panel.part.mark, 'one strip is wide enough for it; made = "whole" needs no glue')


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
