"""Wood on hand drawn to one scale, with the zones that must not be used crossed out."""

from collections.abc import Sequence

from markupsafe import Markup

from stopwright.lengths import Nm, Show, format_length
from stopwright.model.stock import Stock

ACROSS = 1000
"""Units of the drawing that the longest piece takes."""


def stock_drawings(rows: Sequence[Stock], show: Show) -> list[Markup]:
    """One drawing for each row, in their order, all to the scale of the longest."""
    longest = max((row.length for row in rows), default=1)
    return [_drawing(row, longest, show) for row in rows]


def _drawing(row: Stock, longest: Nm, show: Show) -> Markup:
    length, width = _units(row.length, longest), max(_units(row.width, longest), 4)
    zones = [
        (
            _units(zone.start, longest),
            _units(zone.low, longest),
            _units(zone.end, longest),
            _units(row.width if zone.high is None else zone.high, longest),
        )
        for zone in row.zones
    ]
    crossed = "".join(
        f"M{x} {y}H{right}V{low}H{x}ZM{x} {y}L{right} {low}M{x} {low}L{right} {y}" for x, y, right, low in zones
    )
    said = "; ".join(f"{format_length(zone.start, show)} to {format_length(zone.end, show)}" for zone in row.zones)
    about = f"{row.kind}, not to use: {said}" if said else f"{row.kind}, all of it sound"
    grain = "" if row.is_sheet else "".join(f"M0 {width * n // 5}H{length}" for n in range(1, 5))
    return Markup(
        '<svg class="stock" viewBox="-2 -2 {} {}" role="img" aria-label="{}">'
        '<path class="wood" d="M0 0H{length}V{width}H0Z"/><path class="grain" d="{grain}"/>'
        '<path class="zone" d="{zone}"/></svg>'
    ).format(ACROSS + 4, width + 4, about, length=length, width=width, grain=grain, zone=crossed)


def _units(value: Nm, longest: Nm) -> int:
    return value * ACROSS // longest
