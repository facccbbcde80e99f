"""Rough wood to buy: a blank a piece, or strips for what is worked while it is long."""

from collections.abc import Iterator

from stopwright.lengths import Nm
from stopwright.model.parts import Kind, Part
from stopwright.model.stations import Shop
from stopwright.plan.joinery.tenons import strip_for
from stopwright.plan.run_sheet import ToBuy
from stopwright.plan.stations.thickness import rough_from_quarter_scale
from stopwright.plan.timber.layouts import cutting_in, lies


def blanks_to_buy(part: Part, count: int, shop: Shop) -> Iterator[ToBuy]:
    """The blanks for so many pieces of a part without stock.

    A sheet part comes as a blank that is trimmed on all sides, a solid one with the shop's allowances and of the
    next rough thickness. What is worked while it is long comes in as few strips as the stops of the saw reach.
    """
    along, across = lies(part)
    name = f"blanks {part.mark}" if count > 1 else f"blank {part.mark}"
    if part.kind is Kind.SHEET:
        cutting = cutting_in(shop)
        length, width = along + 2 * cutting.trim_ends, across + 2 * cutting.trim_edges
        yield ToBuy(part.mark, part.material, count, length, width, part.thickness, lot=name)
        return
    width, thickness = across + shop.allowance.width, rough_from_quarter_scale(part.thickness)
    if part.kind is not Kind.MOULDING:
        length = along + shop.allowance.length
        yield ToBuy(part.mark, part.material, count, length, width, thickness, lot=name)
        return
    each = _pieces_in_a_strip(along, count, shop)
    whole, rest = divmod(count, each)
    for times, pieces, which in ((whole, each, ""), (min(rest, 1), rest, ", the last")):
        if times:
            length = strip_for(pieces, along, shop) + shop.allowance.length
            name = f"long blank{'s' if times > 1 else ''} {part.mark}{which}"
            yield ToBuy(part.mark, part.material, times, length, width, thickness, pieces, name)


def _pieces_in_a_strip(length: Nm, count: int, shop: Shop) -> int:
    """How many pieces one strip holds: all of them, shared out evenly where it would be longer than the stops reach."""
    saw = shop.station_for("crosscut")
    stops = saw.axis("length") if saw else None
    strips = 1 if stops is None else -(-strip_for(count, length, shop) // stops.high)
    return -(-count // min(count, strips))
