"""How much a solid board grows or shrinks across the grain when its moisture changes.

Forest Products Laboratory, Wood Handbook, FPL-GTR-190, chapter 13: Eq. 13-2, coefficients of Table 13-5.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from stopwright.errors import StopwrightError
from stopwright.lengths import MM, Nm
from stopwright.model.moisture import GREATEST_MOISTURE, LEAST_MOISTURE
from stopwright.model.parts import Grain, Kind, Part, Rings

WIDE: Nm = 120 * MM
"""From this width on, movement is worth a word."""


@dataclass(frozen=True, slots=True)
class Species:
    """A wood with its change of size for one percent of moisture, radial and tangential, as parts of the size."""

    name: str
    radial: Fraction
    tangential: Fraction

    def coefficient(self, rings: Rings) -> Fraction:
        """The coefficient across the width of a board with its rings so: flat is tangential, quarter radial."""
        return self.radial if rings is Rings.QUARTER else self.tangential


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


def moves_across(part: Part) -> bool:
    """Whether the width of a part moves: it is solid, and its grain runs along."""
    return part.kind is not Kind.SHEET and part.grain is not Grain.ACROSS


def coefficient_of(part: Part) -> Fraction | None:
    """The coefficient across the width of a part: 0 where the grain runs across or it is a sheet, None if not known.

    >>> oak = Part("A", "Panel", 1, 400 * MM, 300 * MM, 12 * MM, "red oak", rings=Rings.QUARTER)
    >>> coefficient_of(oak)
    Fraction(79, 50000)
    """
    if not moves_across(part):
        return Fraction(0)
    species = species_of(part.material)
    return species.coefficient(part.rings) if species else None


def wide_parts(parts: Iterable[Part]) -> Iterator[Part]:
    """The solid parts wide enough for their movement to matter, where the grain runs along."""
    return (part for part in parts if part.kind is not Kind.SHEET and part.width >= WIDE)
