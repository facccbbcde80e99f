"""Lengths as pages carry them: every text a person may switch to, so that the browser computes none."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from stopwright.lengths import Nm, Show, format_difference, format_length
from stopwright.paper.wording import size_text
from stopwright.plan.run_sheet import Angle, Position
from stopwright.plan.run_sheet_json import position_text
from stopwright.plan.said_lengths import taken_apart

SHOWN: tuple[Show, ...] = tuple(Show)
"""The order in which every length carries its texts."""

BETWEEN = "\n"
"""Parts the texts in an attribute; no name holds it."""


def length_texts(length: Nm) -> list[str]:
    """The length in every way a person may switch to, in the order of `SHOWN`.

    >>> length_texts(450_850_000)
    ['450.85 mm', '17 3/4 in', '17 3/4 in', '17 3/4 in', '17.75 in']
    """
    return [format_length(length, show) for show in SHOWN]


def small_texts(difference: Nm) -> list[str]:
    """A small difference in every way: hundredths of a mm, thousandths of an inch whatever marks are read.

    >>> small_texts(200_000)
    ['0.2 mm', '0.008 in', '0.008 in', '0.008 in', '0.008 in']
    """
    return [format_difference(difference, show) for show in SHOWN]


def position_texts(position: Position) -> list[str]:
    """As `length_texts`; an angle or a name reads the same whatever the unit."""
    if isinstance(position, Angle | str):
        return [" ".join(position_text(position, Show.MM).split())] * len(SHOWN)
    return length_texts(position)


@dataclass(frozen=True, slots=True)
class Figure:
    """A shown length taken apart for setting it large: 17 3/4 in (−0.0032) is whole, over, under, unit, off."""

    sign: str
    whole: str
    over: str
    under: str
    unit: str
    off: str

    @property
    def breadth(self) -> int:
        """How many tenths of a digit's width it takes; a fraction's digits are half as wide, a point a third."""
        fraction = 5 * max(len(self.over), len(self.under)) + 2 if self.over else 0
        return sum(4 if sign in ".,−" else 10 for sign in self.sign + self.whole) + fraction

    @property
    def beside(self) -> str:
        """What stands beside it when the true length is off the mark, in words: to the thousandth, "" for less.

        >>> take_apart("17 3/4 in (−0.0032)").beside
        '0.003 in less than this mark'
        """
        thousandths = int(float(self.off.lstrip("−+")) * 1000 + 0.5) if self.off else 0
        if not thousandths:
            return ""
        return f"{thousandths / 1000:g} in {'less' if self.off.startswith('−') else 'more'} than this mark"


_SHOWN = re.compile(
    r"(?P<sign>−?)(?:(?P<whole>\d+(?:\.\d+)?)(?: (?=\d))?)??(?:(?P<over>\d+)/(?P<under>\d+))?"
    r"(?: (?P<unit>mm|in))?(?: \((?P<off>[^)]+)\))?"
)


def take_apart(text: str) -> Figure:
    """The parts of a shown length; anything else (an angle, a cutter) is all whole.

    >>> take_apart("17 3/4 in (−0.0032)")
    Figure(sign='', whole='17', over='3', under='4', unit='in', off='−0.0032')
    >>> take_apart("449.9 mm").whole, take_apart("22.5°").whole, take_apart("3/4 in").over
    ('449.9', '22.5°', '3')
    """
    found = _SHOWN.fullmatch(text)
    if not found:
        return Figure("", text, "", "", "", "")
    return Figure(*(found[part] or "" for part in ("sign", "whole", "over", "under", "unit", "off")))


def length_html(position: Position, show: Show = Show.MM, small: bool = False) -> Markup:
    """A length inside a sentence, with its other texts beside it for switching; `small` for a difference."""
    return _switching(small_texts(position) if small and isinstance(position, int) else position_texts(position), show)


def said_html(sentence: str, show: Show = Show.MM) -> Markup:
    """A sentence of the plan; each length in it switches as `length_html` does, each size as `size_html`."""
    return Markup("").join(
        one
        if isinstance(one, str)
        else _switching([one.text(way) for way in SHOWN], show, "size" if len(one.lengths) > 1 else "length")
        for one in taken_apart(sentence)
    )


def _switching(texts: Sequence[str], show: Show, kind: str = "length") -> Markup:
    return Markup('<span class="{}" data-texts="{}">{}</span>').format(
        kind, BETWEEN.join(texts), texts[SHOWN.index(show)]
    )


def size_html(*lengths: Nm, show: Show = Show.MM) -> Markup:
    """Lengths as a size, the unit once: 450 × 38 × 38 mm; it switches as `length_html` does."""
    return _switching([size_text(lengths, one) for one in SHOWN], show, "size")


def figure_html(position: Position, show: Show = Show.MM) -> Markup:
    """The number of a setting, to be set as large as it fits: whole large, fraction stacked, unit small beside."""
    texts = position_texts(position)
    text = texts[SHOWN.index(show)]
    return Markup('<span class="figure" data-texts="{}">{}</span>').format(BETWEEN.join(texts), _inside(text))


def _inside(text: str) -> Markup:
    figure = take_apart(text)
    parts = [f'<span class="whole">{escape(figure.sign + figure.whole)}</span>' if figure.sign + figure.whole else ""]
    if figure.over:
        parts.append(f'<span class="fraction"><span>{figure.over}</span><span>{figure.under}</span></span>')
    digits = f'<span class="digits fits-{min(-(-figure.breadth // 5) * 5, 120)}">{"".join(parts)}</span>'
    unit = f'<span class="unit">{figure.unit}</span>' if figure.unit else ""
    off = f'<span class="off">{figure.beside}</span>' if figure.beside else ""
    return Markup(
        f'<span class="heard">{escape(text)}</span><span class="seen" aria-hidden="true">{digits}{unit}{off}</span>'
    )
