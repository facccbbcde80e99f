"""Where things stand in a TOML text: the row of every table and key, found by a small scan.

The parser of the standard library gives no positions. This scan knows headers, keys and the lines of an
array; for anything finer a thing is looked for at the row of what it lies in.
"""

import re
from collections.abc import Mapping

Path = tuple[str | int, ...]
"""Where a value stands in a document: keys and, from 0, numbers, such as ("joint", 2, "side")."""

_NAME = re.compile(r'"(?:\\.|[^"\\])*"|\'[^\']*\'|[A-Za-z0-9_-]+')
_HEADER = re.compile(r"\s*(\[\[?)([^\[\]]+)\]")
_KEY = re.compile(rf"\s*((?:{_NAME.pattern})(?:\s*\.\s*(?:{_NAME.pattern}))*)\s*=(.*)")
_QUOTED = re.compile(r'"(?:\\.|[^"\\])*"|\'[^\']*\'|#.*')
_LONG_QUOTE = re.compile(r'"""|\'\'\'')


def rows_of(text: str) -> dict[Path, int]:
    """The row, from 1, of every table and key of a TOML text.

    >>> rows_of('name = "x"\\n[[joint]]\\nbit = 8\\n[[joint]]\\nbit = 10')[("joint", 1, "bit")]
    5
    """
    rows: dict[Path, int] = {(): 1}
    last: dict[Path, int] = {}
    inside: Path = ()
    array: Path = ()
    depth = 0
    item = -1
    quote = ""
    for row, line in enumerate(text.split("\n"), start=1):
        if quote:
            if quote not in line:
                continue
            line, quote = line.split(quote, 1)[1], ""
        elif depth:
            if depth == 1 and line.lstrip().startswith(("{", "[")):
                item += 1
                rows.setdefault((*array, item), row)
        elif header := _HEADER.match(line):
            inside = _opened(_names(header[2]), header[1] == "[[", last)
            rows.setdefault(inside, row)
            continue
        elif key := _KEY.match(line):
            names = _names(key[1])
            array, line, item = (*inside, *names), key[2], -1
            for length in range(1, len(names) + 1):
                rows.setdefault((*inside, *names[:length]), row)
        quotes = _LONG_QUOTE.findall(line)
        if len(quotes) % 2:
            quote = quotes[-1]
        bare = _QUOTED.sub("", line)
        depth = max(0, depth + bare.count("[") - bare.count("]"))
    return rows


def row_at(path: Path, rows: Mapping[Path, int] | None) -> int:
    """The row of what stands at `path`, or of what it lies in; without a text, the number of its table, from 1.

    >>> row_at(("joint", 1, "side"), None), row_at(("joint", 1, "side"), {(): 1, ("joint", 1): 9})
    (2, 9)
    """
    if rows is None:
        return next((step + 1 for step in path if isinstance(step, int)), 1)
    within = (path[:length] for length in range(len(path), -1, -1))
    return next((rows[one] for step in within for one in (step, (*step, 0)) if one in rows), 1)


def column_at(path: Path) -> str:
    """The words that name what stands at `path`; the number of its table is left out, the row says it.

    >>> column_at(("station", 3, "axis", 0, "low"))
    'station axis 1 low'
    """
    steps = [step for number, step in enumerate(path) if not (number == 1 and isinstance(step, int))]
    return " ".join(str(step + 1) if isinstance(step, int) else step for step in steps) or "file"


def _names(dotted: str) -> tuple[str, ...]:
    return tuple(name.strip("\"'") for name in _NAME.findall(dotted))


def _opened(names: tuple[str, ...], array: bool, last: dict[Path, int]) -> Path:
    path: Path = ()
    for name in names[:-1] if array else names:
        path = (*path, name)
        if path in last:
            path = (*path, last[path])
    if array:
        path = (*path, *names[-1:])
        last[path] = last.get(path, -1) + 1
        path = (*path, last[path])
    return path
