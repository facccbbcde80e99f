"""What the planer leaves where a shop calibrates: planed wood is sanded to its finished thickness by a machine."""

from dataclasses import replace

from stopwright.lengths import Nm
from stopwright.model.gear import Sander
from stopwright.model.parts import Kind, LooseTenon, PanelStrip, Part
from stopwright.model.stations import Shop

CALIBRATE = "calibrate"


def left_for_calibrating(shop: Shop) -> Nm:
    """How much thicker than finished wood leaves the planer, nm; 0 where the shop planes or calibrates nothing."""
    station = shop.station_for(CALIBRATE) if shop.station_for("plane") else None
    return station.of(Sander).calibrating if station else 0


def is_calibrated(part: Part) -> bool:
    """Whether a part is, where the shop calibrates: what is moulded, or glued to something else, is not."""
    return part.kind is Kind.SOLID and not isinstance(part, LooseTenon | PanelStrip)


def planed_part(part: Part, shop: Shop) -> Part:
    """The part as thick as it leaves the planer.

    >>> from stopwright.model.stations import Station
    >>> shop = Shop("Ours", (Station("planer", ("plane",)), Station("drum sander", ("calibrate",))))
    >>> planed_part(Part("A", "Leg", 4, 450_000_000, 38_000_000, 38_000_000), shop).thickness
    38300000
    """
    left = left_for_calibrating(shop) if is_calibrated(part) else 0
    return replace(part, thickness=part.thickness + left) if left else part
