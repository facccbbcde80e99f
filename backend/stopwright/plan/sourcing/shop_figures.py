"""How figures that belong to the shop, not to a job, are shown."""

from stopwright.lengths import Show
from stopwright.model.stations import Shop


def own_show(shop: Shop) -> Show:
    """How the shop's own figures are shown whatever unit the job has: in the unit of the shop."""
    if shop.show.unit == shop.lengths:
        return shop.show
    return Show.MM if shop.lengths == "mm" else Show.SIXTY_FOURTHS
