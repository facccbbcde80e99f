"""What a figure of the program is: where its value stands, where it comes from, and how sure it is."""

from dataclasses import dataclass
from types import ModuleType
from typing import Any

from stopwright.lengths import Nm, Show, format_length, nearest

SURE = {
    "S": "seen in the source itself",
    "C": "seen in a secondary copy",
    "K": "calculated",
    "P": "common practice, no source",
    "M": "from memory",
}


def in_words(sure: str) -> str:
    """How sure a figure is, spelled out; several letters where its sources differ.

    >>> in_words("S/C")
    'seen in the source itself; seen in a secondary copy'
    """
    return "; ".join(SURE[letter] for letter in sure.split("/"))


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure or rule. `owner` and `name` say which constant, field or function holds it: it has no other value.

    In `words` the value stands for {0}: a length in the unit in which it is a round figure, and as it is where `plain`.
    """

    owner: Any
    name: str
    subject: str
    words: str
    source: str
    sure: str
    plain: bool = False

    @property
    def value(self) -> Any:
        """What the program calculates with."""
        return getattr(self.owner, self.name)

    @property
    def at(self) -> str:
        """Where in the program it stands."""
        if isinstance(self.owner, ModuleType):
            return f"{self.owner.__name__}.{self.name}"
        return f"{type(self.owner).__module__}.{type(self.owner).__name__}.{self.name}"

    def said(self, show: Show) -> str:
        """The figure in words, lengths as the shop shows them."""
        value = self.value
        if isinstance(value, int | float) and not self.plain:
            return self.words.format(_in_its_own_unit(round(value), show))
        return self.words.format(f"{value:g}" if isinstance(value, float) else value)


def _in_its_own_unit(value: Nm, show: Show) -> str:
    """A length in the unit in which it is a round figure, and about what that is as shown.

    >>> _in_its_own_unit(5_000_000, Show.SIXTY_FOURTHS), _in_its_own_unit(100_000, Show.SIXTY_FOURTHS)
    ('5 mm (about 13/64 in)', '0.1 mm (about 0.004 in)')
    >>> _in_its_own_unit(1_587_500, Show.MM), _in_its_own_unit(5_000_000, Show.MM)
    ('1/16 in (about 1.59 mm)', '5 mm')
    """
    other = Show.SIXTY_FOURTHS if show is Show.MM else Show.MM
    if value % show.mark == 0 or value % other.mark:
        return format_length(value, show)
    near = nearest(value, show.mark)
    if abs(near - value) * 20 > value:  # too coarse a mark for so small a figure
        show, near = Show.THOUSANDTHS, nearest(value, Show.THOUSANDTHS.mark)
    return f"{format_length(value, other)} (about {format_length(near, show)})"


@dataclass(frozen=True, slots=True)
class Section:
    """Figures that belong together."""

    title: str
    figures: tuple[Figure, ...]
