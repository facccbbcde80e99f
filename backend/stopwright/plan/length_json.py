"""A length as plain data for JSON."""

from typing import Any

from stopwright.lengths import Nm, Show, format_length


def length_json(length: Nm, show: Show) -> dict[str, Any]:
    """A length as number and as shown.

    >>> length_json(84_000_000, Show.MM)
    {'nm': 84000000, 'text': '84 mm'}
    """
    return {"nm": length, "text": format_length(length, show)}
