"""The moisture that a job's wood is worked at and lives between: as it is typed, and taken down."""

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from stopwright.actions.jobs.editing import save_section
from stopwright.actions.jobs.keeping import job_document
from stopwright.errors import StopwrightError
from stopwright.intake.keys import keys_of
from stopwright.intake.scalars import said
from stopwright.model.moisture import USUAL_MOISTURE, Moisture
from stopwright.store.log import Store


def percent_in(text: str) -> Fraction:
    """Percent as typed, with or without its sign. Raises StopwrightError.

    >>> percent_in("8,5 %")
    Fraction(17, 2)
    """
    plain = text.strip().removesuffix("%").strip().replace(",", ".")
    if not plain.replace(".", "", 1).isdecimal() or not plain.isascii() or len(plain) > 8:
        raise StopwrightError(f"'{text}' is not a moisture content", next_step="write percent, such as 8")
    return Fraction(plain)


def moisture_typed(document: Mapping[str, Any], typed: Mapping[str, str]) -> dict[str, str]:
    """The moistures of a job as texts of a form: as typed, else as kept, else as usual.

    >>> moisture_typed({"moisture": {"driest": 6.5}}, {"wettest": "thirteen"})
    {'made_at': '10', 'driest': '6.5', 'wettest': 'thirteen'}
    """
    kept = document.get("moisture")
    kept = kept if isinstance(kept, Mapping) else {}
    usual = {name: f"{float(getattr(USUAL_MOISTURE, name)):g}" for name in keys_of(Moisture)}
    return {
        name: typed.get(name) or (said(kept[name]).removesuffix(".0") if name in kept else usual[name])
        for name in usual
    }


def set_moisture(store: Store, job: str, typed: Mapping[str, str], device: str) -> None:
    """Takes down the moistures of a job; what is left empty is as usual. Raises StopwrightError and writes nothing."""
    read = {name: percent_in(text) for name, text in typed.items() if text.strip()}
    Moisture(**read)
    table = {name: float(value) for name, value in read.items()}
    save_section(store, job, {"moisture": table or None}, job_document(store, job).version, device)
