"""Shop files (TOML) to a Shop and back; and the default shop that ships inside the package."""

import re
from collections.abc import Collection, Mapping
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import tomli_w

from stopwright.errors import BadInput, Fault, StopwrightError
from stopwright.intake.documents import Reading
from stopwright.intake.files import read_file
from stopwright.intake.keys import Document, document_of
from stopwright.intake.scalars import shortened
from stopwright.intake.toml_text import document_in
from stopwright.model.stations import Shop, TenonRules
from stopwright.plan.operations.known import GEAR, OPERATIONS, ROLES

DEFAULT_SHOPS = {"mm": "default_shop.toml", "in": "default_shop_in.toml"}

NAMES: Mapping[str, Collection[str]] = {"work": OPERATIONS, "sets": ROLES}
"""What a station's work and what an axis sets may be called."""
_SPARE_FIELDS = ("spare_one_in", "spares_at_least")
_SPARES = re.compile(r"1 in ([0-9]{1,9})(?:\s*,\s*at least ([0-9]{1,9}))?", re.I)


def read_shop(path: Path | str) -> Shop:
    """The shop that a shop file describes. Raises BadInput with every fault."""
    return shop_in(read_file(Path(path)), str(path))


def shop_in(data: bytes, file: str) -> Shop:
    """As `read_shop`, from the bytes of a file that is called `file`."""
    document, rows = document_in(data, file)
    return _shop(document, Reading(file, rows, names=NAMES, gear=GEAR))


@cache
def default_shop(lengths: str = "mm") -> Shop:
    """The shop that is taken where no shop file is given, with scales in "mm" or "in".

    >>> default_shop().name, default_shop("in").show.value
    ('Small furniture shop', '1/64 in')
    """
    file = DEFAULT_SHOPS[lengths]
    return shop_in(resources.files(__package__).joinpath(file).read_bytes(), file)


def shop_from_document(document: Mapping[str, Any], file: str) -> Shop:
    """The shop that a document of the shape of a shop file describes; the row of a fault is its table's number."""
    return _shop(document, Reading(file, names=NAMES, gear=GEAR))


def shop_to_document(shop: Shop) -> Document:
    """The document of a shop, lengths as text in the shop's unit; `shop_from_document` reads it back equal."""
    document: Document = {"name": shop.name, "lengths": shop.lengths, "show": shop.show.value}
    document |= document_of(shop, shop.lengths, leave_out=("tenon",))
    tenon = document_of(shop.tenon, shop.lengths, leave_out=_SPARE_FIELDS)
    tenon["spares"] = f"1 in {shop.tenon.spare_one_in}, at least {shop.tenon.spares_at_least}"
    return document | {"tenon": tenon}


def shop_to_toml(shop: Shop) -> str:
    """The text of a shop file that holds the whole shop."""
    return tomli_w.dumps(shop_to_document(shop))


def read_spares(text: object) -> tuple[int, int]:
    """Spare tenons: one in so many, at least so many. Raises StopwrightError.

    >>> read_spares("1 in 20, at least 2"), read_spares("1 in 10")
    ((20, 2), (10, 0))
    """
    found = _SPARES.fullmatch(" ".join(text.split())) if isinstance(text, str) else None
    if not found:
        said = shortened(text) if isinstance(text, str) else "this"
        raise StopwrightError(f"'{said}' does not say how many spares", next_step="write '1 in 20, at least 2'")
    return int(found[1]), int(found[2] or 0)


def _shop(document: object, reading: Reading) -> Shop:
    if not isinstance(document, Mapping):
        raise BadInput([Fault(reading.file, 1, "file", "is not a shop", "write name = … and its stations")])
    if document.get("lengths", "mm") in ("mm", "in"):
        reading.unit = document.get("lengths", "mm")
    values = reading.values(Shop, document, (), given=("tenon",), also=("tenon",))
    tenon = _tenon(document.get("tenon", {}), reading)
    shop = None if reading.faults else reading.build(Shop, values | {"tenon": tenon}, ())
    reading.refuse_faults()
    assert shop is not None  # a shop that was not built has left a fault
    return shop


def _tenon(table: object, reading: Reading) -> TenonRules | None:
    before = len(reading.faults)
    values = reading.values(TenonRules, table, ("tenon",), given=_SPARE_FIELDS, also=("spares",))
    if isinstance(table, Mapping) and table.get("spares") is not None:
        try:
            values |= dict(zip(_SPARE_FIELDS, read_spares(table["spares"]), strict=True))
        except StopwrightError as error:
            reading.fault(("tenon", "spares"), error.what, error.next_step)
    return None if len(reading.faults) > before else reading.build(TenonRules, values, ("tenon",))
