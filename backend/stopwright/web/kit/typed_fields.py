"""Fields of a form by their names, `axis.0.low`, to the tables and lists that they stand for."""

from collections.abc import Collection, Iterable
from typing import Any

from stopwright.errors import StopwrightError
from stopwright.lengths import Nm, parse_length

MOST_FIELDS = 6000
MOST_VERSION = 2**53
"""No version of anything is beyond this: what is, was not given by us."""
_DEEPEST, _LONGEST = 6, 200


def nested(pairs: Iterable[tuple[str, str]], several: Collection[str] = ()) -> dict[str, Any]:
    """The tables that named fields stand for; steps that are numbers make a list, in their order.

    Fields whose last step is in `several` may stand more than once and are a list. Raises StopwrightError.

    >>> nested([("axis.1.low", "5"), ("axis.0.low", "4"), ("work", "rip"), ("work", "mitre")], ["work"])
    {'axis': [{'low': '4'}, {'low': '5'}], 'work': ['rip', 'mitre']}
    """
    tree: dict[str, Any] = {}
    for number, (name, value) in enumerate(pairs):
        steps = name.split(".")
        if number >= MOST_FIELDS or len(steps) > _DEEPEST or len(name) > _LONGEST:
            raise StopwrightError("this is more than the form has", next_step="reload the page")
        here: Any = tree
        for step in steps[:-1]:
            here = here.setdefault(step, {})
            if not isinstance(here, dict):
                raise StopwrightError("these fields contradict each other", name, "reload the page")
        last = steps[-1]
        if last in several:
            here.setdefault(last, [])
            if isinstance(here[last], list) and value:
                here[last].append(value)
        else:
            here[last] = value
    listed: dict[str, Any] = _lists(tree)
    return listed


def length_in(name: str, text: str, unit: str) -> Nm:
    """The length typed in a field. Raises StopwrightError, whose `where` is the field's name.

    >>> length_in("width", "12 cm", "mm")
    120000000
    """
    if not text.strip():
        raise StopwrightError("is empty", name, f"measure the {name}")
    try:
        return parse_length(text, unit)
    except StopwrightError as error:
        raise StopwrightError(error.what, name, error.next_step) from error


def numbers_in(text: str) -> tuple[int, ...]:
    """The numbers of a list in an address; whatever is none, or is beyond what can be, is passed over.

    >>> numbers_in("3,5,x,-1,²,12345678")
    (3, 5)
    """
    return tuple(int(one) for one in text.split(",") if one.isascii() and one.isdecimal() and len(one) < 7)


def _lists(node: Any) -> Any:
    if not isinstance(node, dict):
        return node
    if node and all(step.isascii() and step.isdigit() for step in node):
        return [_lists(node[step]) for step in sorted(node, key=int)]
    return {step: _lists(value) for step, value in node.items()}
