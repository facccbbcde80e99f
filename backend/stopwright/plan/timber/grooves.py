"""How wide a groove must be for a sheet as it was measured, never as it is called."""

from collections.abc import Sequence
from dataclasses import dataclass

from stopwright.errors import StopwrightError
from stopwright.lengths import INCH, MM, Nm, SignedNm

USUAL_PLAY: Nm = MM // 5
"""Room that lets a sheet go in by hand (P)."""
GREATEST_PLAY: Nm = 5 * MM
MOST_READINGS = 40
THICKEST_SHEET: Nm = 100 * MM

DADO_LIMIT: Nm = INCH * 3 // 4
"""A common limit of what an arbor takes (P); the machine's own is what counts."""
OVER_18, UNDER_18 = MM * 7 // 10, MM * 9 // 10
"""How far sanded plywood of 18 mm may be off, above and below (C)."""

MEASURE_FIRST = "Cut grooves only after the sheets are here and measured."
TOOLING = "Groove only with tooling that the machine is made for: not every saw may carry a grooving head."
ARBOR = "A grooving head is no wider than the arbor allows with its nut fully on; {0} is a common limit."


@dataclass(frozen=True, slots=True)
class GrooveAdvice:
    """A groove for all the sheets that were measured, in nm; it is as wide as the thickest needs.

    `loose` is the room that the thinnest sheet has in it. `off` is thinnest and thickest against the nominal
    thickness, None where none was named.
    """

    thinnest: Nm
    thickest: Nm
    play: Nm
    readings: int
    off: tuple[SignedNm, SignedNm] | None = None

    @property
    def width(self) -> Nm:
        """How wide to cut the groove."""
        return self.thickest + self.play

    @property
    def spread(self) -> Nm:
        """By how much the sheets differ."""
        return self.thickest - self.thinnest

    @property
    def loose(self) -> Nm:
        """The room of the thinnest sheet in the groove."""
        return self.width - self.thinnest

    @property
    def sheets_differ(self) -> bool:
        """True when the thinnest sheet would be looser than the play means: one groove does not fit them all well."""
        return self.spread > self.play

    @property
    def beyond_arbor(self) -> bool:
        """True when it is wider than the common limit of an arbor: two passes then, the second against the first."""
        return self.width > DADO_LIMIT

    @property
    def beyond_usual(self) -> bool:
        """True when a sheet is further off its nominal thickness than plywood usually is: look what was measured."""
        return self.off is not None and not (self.off[0] >= -UNDER_18 and self.off[1] <= OVER_18)


def groove_for(readings: Sequence[Nm], play: Nm = USUAL_PLAY, nominal: Nm | None = None) -> GrooveAdvice:
    """The groove for sheets of these measured thicknesses: the thickest reading and the play.

    Raises StopwrightError without a reading, with one that is no sheet, or with more play than a groove has.

    >>> advice = groove_for([17_600_000, 17_900_000, 17_700_000], nominal=18 * MM)
    >>> advice.width / MM, advice.loose / MM, advice.sheets_differ, [one / MM for one in advice.off]
    (18.1, 0.5, True, [-0.4, -0.1])
    """
    if not readings:
        raise StopwrightError("no thickness was measured", next_step="measure each sheet at two corners or more")
    if len(readings) > MOST_READINGS:
        raise StopwrightError("these are too many readings", next_step=f"take the {MOST_READINGS} that differ most")
    thinnest, thickest = min(readings), max(readings)
    if thinnest <= 0 or thickest > THICKEST_SHEET:
        raise StopwrightError("a reading cannot be the thickness of a sheet", next_step="measure it again")
    if not 0 <= play <= GREATEST_PLAY:
        raise StopwrightError("the play is more than a groove has", next_step="leave it empty, or write 0.2 mm")
    off = None if nominal is None else (thinnest - nominal, thickest - nominal)
    return GrooveAdvice(thinnest, thickest, play, len(readings), off)
