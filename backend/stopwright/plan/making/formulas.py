"""Formulas as data: a sum of named measures, said in words and in figures, whose value follows from them."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from stopwright.lengths import Nm, Show, SignedNm, format_exact, format_length

GEOMETRY = "geometry"
"""The source of a formula that says nothing but how the parts lie to each other."""
SLIDES_IN = "room for what slides in: common practice"
"""The source of how wide a groove is for what is not glued into it."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A length with its name, nm. `field` is the entry of the thing that it was typed in, "" where it was not."""

    words: str
    value: SignedNm
    field: str = ""


@dataclass(frozen=True, slots=True)
class Sum:
    """So many times each of some measures, divided by `over`; `source` says where the formula comes from.

    >>> from stopwright.lengths import MM
    >>> box = Sum("box", ((1, Measure("opening", 450 * MM)), (-2, Measure("slide", 12_700_000))), "Eagle")
    >>> box.value / MM, box.in_words(), box.in_figures(Show.MM)
    (424.6, 'opening − 2 × slide', '450 − 2 × 12.7')
    """

    words: str
    terms: tuple[tuple[int, "Measure | Sum"], ...]
    source: str
    over: int = 1

    @property
    def value(self) -> SignedNm:
        """What it comes to, rounded down to a whole nanometre where it is divided."""
        return sum(times * one.value for times, one in self.terms) // self.over

    def in_words(self) -> str:
        """The formula with the names of its measures."""
        return self._written([one.words for _, one in self.terms])

    def in_figures(self, show: Show) -> str:
        """The formula with their lengths as the shop reads them."""
        return self._written([format_length(one.value, show, with_unit=False) for _, one in self.terms])

    def given(self) -> Iterator[tuple[Fraction, Measure]]:
        """The measures that were typed, with how much of each is in it."""
        for times, one in self.terms:
            inside = one.given() if isinstance(one, Sum) else [(Fraction(1), one)]
            yield from ((share * times / self.over, measure) for share, measure in inside)

    def before(self) -> Iterator["Sum"]:
        """The sums that it is made of, those first that others need."""
        for _, one in self.terms:
            if isinstance(one, Sum):
                yield from one.before()
                yield one

    def _written(self, names: list[str]) -> str:
        text = ""
        for (times, _), name in zip(self.terms, names, strict=True):
            sign = "−" if times < 0 else "+"
            text += (f" {sign} " if text else "− " if times < 0 else "") + (
                f"{abs(times)} × {name}" if abs(times) != 1 else name
            )
        if self.over == 1:
            return text
        return f"{text} / {self.over}" if len(self.terms) == 1 else f"({text}) / {self.over}"


Named: TypeAlias = Measure | Sum
"""A length with its name."""


@dataclass(frozen=True, slots=True)
class Formula:
    """What one measure of a part, or of a cut, comes from. `of` is its mark, "" for what others are worked out from."""

    of: str
    field: str
    sum: Sum


def enough(short: Sum, least: Nm, show: Show) -> tuple[str, str]:
    """The entry that has to grow so that a sum comes to more than `least`, and from where on it would do, in words.

    ("", "") where nothing that was typed makes it greater.

    >>> from stopwright.lengths import MM
    >>> inside = Sum("inside", ((1, Measure("opening", 20 * MM, "width")), (-2, Measure("slide", 13 * MM))), "")
    >>> enough(inside, 0, Show.MM)
    ('width', 'the opening more than 26 mm')
    """
    shares: dict[Measure, Fraction] = defaultdict(Fraction)
    for share, measure in short.given():
        shares[measure] += share
    for measure, share in shares.items():
        if share > 0 and measure.field:
            wanted = measure.value + (least - short.value) / share
            unit = "mm" if show is Show.MM else "in"
            text = format_exact(-(-wanted.numerator // wanted.denominator), unit)
            return measure.field, f"the {measure.words} more than {text if text.endswith('mm') else f'{text} {unit}'}"
    return "", ""
