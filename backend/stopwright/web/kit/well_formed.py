"""Text that came as JSON made fit to be kept and answered: half a sign, as a cut-off emoji leaves it, is no text."""

from typing import Annotated, Any

from pydantic import BeforeValidator


def well_formed(value: Any) -> Any:
    """The value with a question mark for every half of a sign in it, however deep.

    >>> well_formed({"note": ["split \\ud83e", 3]})
    {'note': ['split ?', 3]}
    """
    if isinstance(value, str):
        return value.encode(errors="replace").decode()
    if isinstance(value, list):
        return [well_formed(one) for one in value]
    if isinstance(value, dict):
        return {well_formed(key): well_formed(one) for key, one in value.items()}
    return value


Row = Annotated[dict[str, Any], BeforeValidator(well_formed)]
"""A table of anything, as a script sends it."""
