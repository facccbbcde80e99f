"""Panels wider than what trues them: glued in sub-panels that pass, and those glued to each other last."""

from dataclasses import dataclass

from stopwright.lengths import Nm
from stopwright.model.gear import Throat
from stopwright.model.stations import Shop
from stopwright.plan.timber.calibrating import CALIBRATE

TRUED_BY = ("plane", CALIBRATE)
"""The works that a panel passes when it has rested."""


@dataclass(frozen=True, slots=True)
class Split:
    """So many equal strips, each `jointed` wide when its edges are made (nm), glued in so many sub-panels first."""

    strips: int
    jointed: Nm
    sub_panels: int

    @property
    def each(self) -> tuple[int, ...]:
        """How many strips each sub-panel has, the larger ones first.

        >>> Split(5, 100, 2).each
        (3, 2)
        """
        few, more = divmod(self.strips, self.sub_panels)
        return (few + 1,) * more + (few,) * (self.sub_panels - more)


def split_panel(wide: Nm, widest_strip: Nm, passes: Nm | None, joint: Nm) -> Split:
    """The fewest equal strips for a panel glued `wide`, in the fewest sub-panels that pass; nm.

    `joint` is what an edge loses when it is made for gluing: of every edge where two sub-panels meet, too. A sub-panel
    has two strips or more, so strips get narrower where two as wide as they may be do not pass. Where one strip alone
    does not pass, the panel stays whole (`refused`).

    620 in strips of 120, a planer of 400: six of 103.6, three and three; 310.8 each before the last joint.

    >>> split_panel(620_000, 120_000, None, 800), split_panel(620_000, 120_000, 400_000, 800)
    (Split(strips=6, jointed=103334, sub_panels=1), Split(strips=6, jointed=103600, sub_panels=2))
    """
    strips = -(-wide // widest_strip)
    whole = Split(strips, -(-wide // strips), 1)
    if passes is None or whole.strips * whole.jointed <= passes or whole.jointed > passes:
        return whole
    while True:
        for sub_panels in range(2, strips // 2 + 1):
            found = Split(strips, -(-(wide + 2 * (sub_panels - 1) * joint) // strips), sub_panels)
            if found.jointed <= widest_strip and found.each[0] * found.jointed <= passes:
                return found
        strips += 1
        if -(-wide // strips) <= 2 * joint:
            return whole


def passes_of(shop: Shop) -> Nm | None:
    """The widest panel that passes all that trues it, nm; None where nothing is known of that."""
    stations = (shop.station_for(work) for work in TRUED_BY)
    known = [station.of(Throat).widest for station in stations if station is not None]
    return min((widest for widest in known if widest is not None), default=None)
