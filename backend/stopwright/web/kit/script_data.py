"""Data for scripts, written into a page so that no text in it can end the element it stands in."""

import json
from typing import Any

from markupsafe import Markup

_LEFT_OUT = {"<": "\\u003c", ">": "\\u003e", "&": "\\u0026", "\u2028": "\\u2028", "\u2029": "\\u2029"}


def as_script_data(data: Any) -> Markup:
    """The data as JSON fit for a `<script type="application/json">`.

    >>> print(as_script_data({"name": "</script>"}))
    {"name":"\\u003c/script\\u003e"}
    """
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    for sign, written in _LEFT_OUT.items():
        text = text.replace(sign, written)
    return Markup(text)
