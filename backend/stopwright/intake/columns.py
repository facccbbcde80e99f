"""What the columns of a part list are called, here and elsewhere, and which field of a part each stands for."""

import dataclasses
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence

from stopwright.intake.scalars import nearest_of
from stopwright.model.parts import Part

FIELDS = (*(field.name for field in dataclasses.fields(Part)), "per_unit")
"""Fields that a column can stand for; `per_unit` is how many one finished article takes, instead of quantity."""

REQUIRED = ("name", "quantity", "length", "width", "thickness")

# A word that may mean two things stands twice, and takes the first that no other column has taken.
_OTHER_NAMES: Mapping[str, str] = {
    "mark": "id ref label pos position item itemno partno teilnr posnr lfdnr repère no nr number part teil",
    "name": "partname description desc component bezeichnung benennung désignation nom part teil bauteil pièce item",
    "quantity": "qty qnty qnt quant count pcs pieces amount noof off anzahl menge stück stk stückzahl quantité qté "
    "nombre nb no nr number",
    "length": "l len lg länge laenge longueur long finishedlength",
    "width": "w wid wd breite br b largeur larg finishedwidth",
    "thickness": "t th thk thick dicke stärke staerke épaisseur ep d finishedthickness",
    "material": "mat wood species timber holz holzart werkstoff matière bois essence",
    "kind": "type art sort",
    "grain": "graindirection faser maserung faserrichtung fil",
    "hand": "handed handing",
    "tolerance": "tol toleranz tolérance",
    "note": "notes remark remarks comment comments bemerkung bemerkungen notiz remarque remarques",
    "made": "gluedup",
    "strip": "stripwidth widest",
    "measured": "measuredthickness reallythick gemessen mesuré",
    "rings": "growthrings sawn cut jahrringe débit",
    "per_unit": "perarticle each qtyperunit",
}
_OTHERS = {field: tuple(names.split()) for field, names in _OTHER_NAMES.items()}
_UNIT = re.compile(r"(?:[\[(]\s*(mm|cm|inches|inch|in|\")\s*\.?\s*[\])]|[\s,]+(?:in\s+)?(mm|cm|inches|inch))\s*$", re.I)
_SECOND = re.compile(r" \([0-9]+\)$")
_UNIT_NAMES = {"mm": "mm", "cm": "cm", "in": "in", "inch": "in", "inches": "in", '"': "in"}


def unit_of(header: str) -> str:
    """The unit that a header names for its column, empty when it names none.

    >>> unit_of("Length (mm)"), unit_of("Width [in]"), unit_of("Thickness")
    ('mm', 'in', '')
    """
    found = _UNIT.search(header)
    return _UNIT_NAMES[(found[1] or found[2]).lower()] if found else ""


def unit_named(cell: str) -> str:
    """The unit that a cell consists of, empty when it is something else.

    >>> unit_named("(mm)"), unit_named("24")
    ('mm', '')
    """
    return _UNIT_NAMES.get(cell.strip("[]() .").lower(), "")


def plain(header: str) -> str:
    """A header without unit, case, spaces and punctuation.

    >>> plain("Per Unit"), plain("Qty."), plain("Length (mm)")
    ('perunit', 'qty', 'length')
    """
    whole = unicodedata.normalize("NFC", _UNIT.sub("", header)).lower()
    return "".join(sign for sign in whole if sign.isalnum())


def guess_fields(columns: Sequence[str], taken: Iterable[str] = ()) -> dict[str, str]:
    """Column -> field for every column that is known by some name; each field once, its own name before another.

    >>> guess_fields(["No.", "Description", "Qty", "L", "W", "T"])["No."]
    'mark'
    >>> guess_fields(["No.", "Description", "L", "W", "T"])["No."]
    'quantity'
    """
    found: dict[str, str] = {}
    names = {column: plain(column) for column in columns}
    ranks = {name: [field for field in FIELDS if name in _OTHERS[field]] for name in names.values()}
    free = [field for field in FIELDS if field not in set(taken)]

    def take(column: str, field: str) -> None:
        if column not in found and field in free:
            found[column] = field
            free.remove(field)

    for column in columns:
        take(column, named_as(column))
    for column, name in names.items():
        if len(ranks[name]) == 1:
            take(column, ranks[name][0])
    for column, name in names.items():
        by_need = sorted(ranks[name], key=lambda field: field not in REQUIRED)
        for field in by_need:
            take(column, field)
    return found


def named_as(header: str) -> str:
    """The field that is named by its own name, for the second of two such columns too; empty when none is.

    >>> named_as("Per unit"), named_as("Length (2)"), named_as("L")
    ('per_unit', 'length', '')
    """
    name = plain(_SECOND.sub("", header))
    return next((field for field in FIELDS if plain(field) == name), "")


def may_be_mark(header: str) -> bool:
    """True when a header can be the name of the marks.

    >>> may_be_mark("No."), may_be_mark("Qty")
    (True, False)
    """
    return plain(header) in _OTHERS["mark"]


def nearest_field(header: str) -> str:
    """The field whose name is most like a header that is not known, empty when none is.

    >>> nearest_field("Lenght"), nearest_field("Colour of the lid")
    ('length', '')
    """
    every = {name: field for field in FIELDS for name in (plain(field), *_OTHERS[field]) if len(name) > 2}
    near = nearest_of(plain(header), every, likeness=0.75)
    return every.get(near, "")
