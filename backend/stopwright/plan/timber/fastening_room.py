"""How long a slot must be for the screw that holds a top of solid wood, and how a button must stand in its groove."""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from stopwright.lengths import MM, Nm
from stopwright.model.moisture import Moisture

BUTTON_GRIP: Nm = 3 * MM
"""How far the tongue of a button is still in its groove when the top is as narrow as it gets (common practice)."""


@dataclass(frozen=True, slots=True)
class FasteningRoom:
    """A fastener so far (`arm`, nm) across the grain from the line on which the top is held without play."""

    arm: Nm
    coefficient: Fraction
    moisture: Moisture

    @property
    def outwards(self) -> Nm:
        """How far the top carries it away from that line until it is wettest, rounded up."""
        return ceil(self.arm * self.coefficient * max(self.moisture.wettest - self.moisture.made_at, Fraction(0)))

    @property
    def inwards(self) -> Nm:
        """How far the top carries it towards that line until it is driest, rounded up."""
        return ceil(self.arm * self.coefficient * max(self.moisture.made_at - self.moisture.driest, Fraction(0)))

    def slot(self, screw: Nm) -> Nm:
        """How long the slot is for a screw so thick, nm.

        Beech, flat, 400 from the middle, made at 8 and living between 6 and 13 %: 8.62 outwards, 3.448 inwards.

        >>> moisture = Moisture(Fraction(8), Fraction(6), Fraction(13))
        >>> room = FasteningRoom(400 * MM, Fraction(".00431"), moisture)
        >>> room.outwards / MM, room.inwards / MM, room.slot(4 * MM) / MM
        (8.62, 3.448, 16.068)
        """
        return screw + self.outwards + self.inwards

    @property
    def tongue(self) -> tuple[Nm, Nm]:
        """How far a button's tongue is in its groove when it is put on, at least, and the room left behind it."""
        return (self.inwards + BUTTON_GRIP, self.outwards)
