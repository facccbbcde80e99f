"""How wide a panel may be between two grooves: held when driest, with room left when wettest.

With P as wide as it is made, O the clear opening, t₁ and t₂ the depths of the grooves, C the coefficient and M the
percents of moisture, made at M₀ (geometry, with Eq. 13-2 of the Wood Handbook):

    P · (1 + C · (wettest − M₀)) ≤ O + t₁ + t₂ − room        P · (1 + C · (driest − M₀)) ≥ O + 2 · grip
"""

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from stopwright.lengths import MM, Nm, SignedNm
from stopwright.model.moisture import Moisture

ROOM: Nm = MM
"""Left in both grooves together when the panel is as wide as it gets (common practice)."""
GRIP: Nm = 3 * MM
"""How far each edge is still in its groove when the panel is as narrow as it gets (common practice)."""


@dataclass(frozen=True, slots=True)
class PanelRoom:
    """A panel `width` wide when it is made, between two grooves that are `opening` apart and `grooves` deep together.

    Lengths in nm; `coefficient` is the change across its width for one percent, 0 for a sheet.
    """

    width: Nm
    opening: Nm
    grooves: Nm
    coefficient: Fraction
    moisture: Moisture

    @property
    def most(self) -> Nm:
        """The widest that still has room when wettest; less than `least` where the opening is too wide."""
        return floor((self.opening + self.grooves - ROOM) / self._grows)

    @property
    def least(self) -> Nm:
        """The narrowest that is still held when driest."""
        return ceil((self.opening + 2 * GRIP) / self._shrinks)

    @property
    def widest_opening(self) -> Nm | None:
        """The widest opening in which some panel moves freely and stays held, None where nothing moves.

        Red oak, flat, made at 8 and living between 6 and 13 %, in grooves of 10:

        >>> moisture = Moisture(Fraction(8), Fraction(6), Fraction(13))
        >>> panel = PanelRoom(313 * MM, 300 * MM, 20 * MM, Fraction(".00369"), moisture)
        >>> panel.widest_opening // MM, panel.least / MM, panel.most // MM
        (493, 308.275071, 313)
        """
        if self._grows == self._shrinks:
            return None
        free = (self.grooves - ROOM) * self._shrinks - 2 * GRIP * self._grows
        return max(floor(free / (self._grows - self._shrinks)), 0)

    @property
    def grooves_needed(self) -> Nm:
        """How deep both grooves must be together for this opening."""
        return ceil((self.opening + 2 * GRIP) * self._grows / self._shrinks - self.opening + ROOM)

    @property
    def driest(self) -> Nm:
        """How wide the panel is when driest."""
        return round(self.width * self._shrinks)

    @property
    def wettest(self) -> Nm:
        """How wide the panel is when wettest."""
        return round(self.width * self._grows)

    @property
    def held(self) -> SignedNm:
        """How far each edge is in its groove when driest, the panel in the middle; less than 0: it falls out."""
        return (self.driest - self.opening) // 2

    @property
    def left(self) -> SignedNm:
        """What is left in both grooves together when wettest; less than 0: it presses the frame apart."""
        return self.opening + self.grooves - self.wettest

    @property
    def fits(self) -> bool:
        """Whether it is held when driest and has room when wettest."""
        return self.least <= self.width <= self.most

    @property
    def _grows(self) -> Fraction:
        return 1 + self.coefficient * (self.moisture.wettest - self.moisture.made_at)

    @property
    def _shrinks(self) -> Fraction:
        return 1 + self.coefficient * (self.moisture.driest - self.moisture.made_at)
