"""How figures of the shop and of the trade are shown, which belong to no job."""

from stopwright.lengths import MM, Nm, Show, format_length, nearest, show_in
from stopwright.model.stations import Shop


def own_show(shop: Shop) -> Show:
    """How the shop's own figures are shown whatever unit the job has: in the unit of the shop."""
    if shop.show.unit == shop.lengths:
        return shop.show
    return show_in(shop.lengths)


def about(figure: Nm, show: Show) -> str:
    """A figure of the trade to the nearest mark, without what that is off by: nobody measures to it.

    >>> about(3_200_000, Show.SIXTY_FOURTHS), about(1_587_500, Show.MM)
    ('1/8 in', '1.6 mm')
    """
    return format_length(nearest(figure, MM // 10 if show is Show.MM else show.mark), show)
