"""How much a solid board grows or shrinks across the grain when its moisture changes.

Forest Products Laboratory, Wood Handbook, FPL-GTR-190, chapter 13: Eq. 13-2, coefficients of Table 13-5.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from stopwright.errors import StopwrightError
from stopwright.lengths import MM, Nm
from stopwright.model.parts import Kind, Part

LEAST_MOISTURE, GREATEST_MOISTURE = 6, 14
"""Percent of moisture content between which the equation holds."""
WIDE: Nm = 120 * MM
"""From this width on, movement is worth a word."""


class Cut(StrEnum):
    """How the board was sawn from the log: its width runs along the rings, or across them."""

    TANGENTIAL = "tangential"
    RADIAL = "radial"


@dataclass(frozen=True, slots=True)
class Species:
    """A wood with its change of size for one percent of moisture, radial and tangential, as parts of the size."""

    name: str
    radial: Fraction
    tangential: Fraction

    def coefficient(self, cut: Cut) -> Fraction:
        """The coefficient across the width of a board cut so."""
        return self.radial if cut is Cut.RADIAL else self.tangential


def _species(name: str, radial: str, tangential: str) -> Species:
    return Species(name, Fraction(radial), Fraction(tangential))


SPECIES: tuple[Species, ...] = (
    _species("beech", ".00190", ".00431"),
    _species("cherry", ".00126", ".00248"),
    _species("red alder", ".00151", ".00256"),
    _species("red oak", ".00158", ".00369"),
    _species("sugar maple", ".00165", ".00353"),
    _species("walnut", ".00190", ".00274"),
    _species("white ash", ".00169", ".00274"),
    _species("white oak", ".00180", ".00365"),
    _species("yellow birch", ".00256", ".00338"),
)


def movement(width: Nm, coefficient: Fraction, start: Fraction, end: Fraction) -> Nm:
    """What a width grows by, less than 0 when it shrinks, in nm: D · C · (M₂ − M₁), Eq. 13-2.

    `start` and `end` are percent of moisture content. Raises StopwrightError outside 6 to 14 percent.

    >>> movement(232 * MM, Fraction("0.00245"), Fraction(8), Fraction(11)) / MM
    1.7052
    """
    for moisture in (start, end):
        if not LEAST_MOISTURE <= moisture <= GREATEST_MOISTURE:
            raise StopwrightError(
                f"a moisture of {float(moisture):g} % lies outside what the equation holds for",
                next_step=f"take {LEAST_MOISTURE} to {GREATEST_MOISTURE} %",
            )
    return round(width * coefficient * (end - start))


def species_of(material: str) -> Species | None:
    """The species that a material names, None where it names none or could be several.

    >>> species_of("Ash").name, species_of("white oak, quartered").name, species_of("oak")
    ('white ash', 'white oak', None)
    """
    words = material.casefold().replace(",", " ").split()
    whole = [one for one in SPECIES if set(one.name.split()) <= set(words)]
    near = whole or [one for one in SPECIES if one.name.split()[-1] in words]
    return near[0] if len(near) == 1 else None


def wide_parts(parts: Iterable[Part]) -> Iterator[Part]:
    """The solid parts wide enough for their movement to matter, where the grain runs along."""
    return (part for part in parts if part.kind is not Kind.SHEET and part.width >= WIDE)
