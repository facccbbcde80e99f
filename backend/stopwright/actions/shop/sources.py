"""All figures and cautions of the program, of every room, for the page that shows where each comes from."""

from dataclasses import dataclass

from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.gear import Blade
from stopwright.model.stations import Shop
from stopwright.paper import label_layout, qr, tiling
from stopwright.plan.operations.caution import Caution
from stopwright.plan.operations.known import CAUTIONS, OPERATIONS
from stopwright.plan.sourcing.source_list import SECTIONS
from stopwright.plan.sourcing.sources import Figure, Section, in_words
from stopwright.plan.stations import making_ready
from stopwright.store import memory

_QR = "ISO/IEC 18004, not seen itself"
_TRADE = "a rule of the trade; your own minutes replace it"


@dataclass(frozen=True, slots=True)
class Line:
    """One figure or caution as it is shown: what it is about, what it says, where from, how sure, where it is used."""

    subject: str
    words: str
    source: str
    sure: str
    letters: str
    at: str


_LABELS = Section(
    "Labels and papers",
    (
        Figure(qr, "QUIET", "Quiet zone around a code", "{0} of its smallest squares", _QR, "C", True),
        Figure(qr, "ALPHANUMERIC", "Letters that a code packs densely", "0–9, A–Z, space, $ % * + - . / :", _QR, "C"),
        Figure(
            label_layout,
            "LEAST_MODULE",
            "Smallest square of a code",
            "{0} mm or more, so that a phone reads it; 0.4 to 0.75 are recommended",
            "makers of code readers",
            "C",
            True,
        ),
        Figure(
            tiling,
            "BAR",
            "Bar to check the printer by",
            "{0} mm on every page drawn at its true size",
            "the drawing",
            "K",
            True,
        ),
    ),
)
_LEARNING = Section(
    "Learning from trial pieces",
    (
        Figure(
            memory,
            "corrected_reading",
            "Corrected reading",
            "reading + (target − measured), the other way round where the strip falls outboard",
            "arithmetic",
            "K",
        ),
        Figure(memory, "FEWEST", "Trial pieces needed for a new zero", "{0} at least", "statistics", "P", True),
        Figure(memory, "RECENT", "and at most", "the last {0} with the same blade", "statistics", "P", True),
        Figure(
            memory,
            "find_zero",
            "A new zero is offered",
            "when it differs by more than half a graduation and twice its standard error on top",
            "statistics",
            "K",
        ),
        Figure(
            memory,
            "find_kerf",
            "Kerf from a ripped board",
            "(width of the board − all strips) / number of full cuts",
            "arithmetic",
            "K",
        ),
    ),
)


def all_sections(show: Show) -> list[tuple[str, list[Line]]]:
    """Every caution and figure under its heading, lengths as shown."""
    cautions = [_caution(one, show) for one in CAUTIONS]
    cautions += [_caution(one, show) for one in making_ready.CAUTIONS]
    return [
        ("Cautions at the machines", cautions),
        *((section.title, [_line(figure, show) for figure in section.figures]) for section in sections(show.unit)),
    ]


def sections(lengths: str = "mm") -> list[Section]:
    """Every figure that is registered, under its heading; the shop that ships with scales in "mm" or "in"."""
    return [*SECTIONS, _LABELS, _LEARNING, _assumed(default_shop(lengths))]


def _line(figure: Figure, show: Show) -> Line:
    return Line(figure.subject, figure.said(show), figure.source, in_words(figure.sure), figure.sure, figure.at)


def _caution(caution: Caution, show: Show) -> Line:
    works = [one.work for one in OPERATIONS.values() if caution in one.cautions]
    said = "every setting" if len(works) == len(OPERATIONS) else ", ".join(works) or "changing a machine over"
    where = "stopwright.plan.operations" if works else making_ready.__name__
    return Line(
        said[:1].upper() + said[1:], caution.words(show), caution.source, in_words(caution.sure), caution.sure, where
    )


def _assumed(shop: Shop) -> Section:
    """What the default shop assumes: minutes, kerf, distances."""
    found: list[Figure] = []
    for station in shop.stations:
        blade = station.of(Blade)
        if blade.kerf:
            found.append(Figure(blade, "kerf", f"Kerf of the {station.name}", "{0}; measure yours", _TRADE, "P"))
        for axis in station.axes:
            subject = f"{station.name[:1].upper()}{station.name[1:]}, {axis.name}"
            found.append(Figure(axis, "minutes", subject, "{0} min for one setting", _TRADE, "P", True))
            if axis.clearance:
                words = "{0} between two stops; 40 to 80 mm are usual"
                found.append(Figure(axis, "clearance", subject, words, _TRADE, "P"))
    for glue in shop.glues:
        words = "open for {0} min at about 20 °C; what the maker prints goes before"
        found.append(Figure(glue, "open_minutes", glue.name.capitalize(), words, "common practice", "P", True))
    return Section("What the default shop assumes", tuple(found))
