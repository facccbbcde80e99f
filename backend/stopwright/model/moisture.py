"""How moist the wood of a job is when it is made up, and between what it lives: percent of moisture content."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from stopwright.errors import Inconsistent, Problem

LEAST_MOISTURE, GREATEST_MOISTURE = 6, 14
"""Percent between which the equation of the Wood Handbook holds."""


@dataclass(frozen=True, slots=True)
class Moisture:
    """Percent of moisture content: when the wood is worked, and the least and most of the years in its place.

    Until a job says otherwise it is that of indoor wood in a heated house (common practice), made up in between.
    """

    made_at: Fraction = Fraction(10)
    driest: Fraction = Fraction(8)
    wettest: Fraction = Fraction(12)

    def __post_init__(self) -> None:
        problems = list(self._problems())
        if problems:
            raise Inconsistent("moisture", problems)

    def _problems(self) -> Iterator[Problem]:
        within = f"write {LEAST_MOISTURE} to {GREATEST_MOISTURE} %: beyond, nothing is known of how wood moves"
        for field in ("made_at", "driest", "wettest"):
            value = getattr(self, field)
            if not LEAST_MOISTURE <= value <= GREATEST_MOISTURE:
                yield Problem(field, f"{float(value):g} % lies outside what the equation holds for", within)
        if self.wettest < self.driest:
            text = f"{float(self.wettest):g} % is drier than the driest, {float(self.driest):g} %"
            yield Problem("wettest", text, f"write {float(self.driest):g} % or more")


USUAL_MOISTURE = Moisture()
