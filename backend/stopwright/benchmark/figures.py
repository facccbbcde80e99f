"""Figures that a benchmark gives: what was measured, what it ought to be, and how two runs compare."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from stopwright.errors import StopwrightError


@dataclass(frozen=True, slots=True)
class Figure:
    """One measured value (seconds, a count, a ratio); `target` is the most it ought to be, None without a target.

    `yardsticks` is a length of time as a multiple of the yardstick, taken on the same machine just before; None for
    what is no length of time. Seconds are held against their target by it, so that a slow machine misses nothing
    that a fast one keeps; milliseconds are what a person waits, and are held against it as they are.
    """

    name: str
    value: float
    unit: str
    target: float | None = None
    note: str = ""
    yardsticks: float | None = None

    def measured_by(self, yardstick: float) -> "Figure":
        """The figure with its multiple of a yardstick of so many seconds, if it is a length of time."""
        one = {"s": 1.0, "ms": 0.001}.get(self.unit)
        return self if one is None else replace(self, yardsticks=self.value * one / yardstick)

    @property
    def verdict(self) -> str:
        """Whether the target is kept."""
        if self.target is None:
            return ""
        held = self.yardsticks if self.unit == "s" and self.yardsticks is not None else self.value
        return "kept" if held <= self.target else "MISSED"


def table(figures: Sequence[Figure]) -> str:
    """The figures in aligned columns."""
    rows = [("what", "measured", "yardsticks", "at most", "", "note")]
    for one in figures:
        multiple = "" if one.yardsticks is None else _plain(one.yardsticks)
        target = "" if one.target is None else _plain(one.target)
        rows.append((one.name, f"{_plain(one.value)} {one.unit}".strip(), multiple, target, one.verdict, one.note))
    widths = [max(len(row[column]) for row in rows) for column in range(5)]
    return "\n".join(
        "  ".join([row[0].ljust(widths[0]), *(row[at].rjust(widths[at]) for at in (1, 2, 3)), row[4].ljust(widths[4])])
        + f"  {row[5]}".rstrip()
        for row in rows
    )


def write(figures: Iterable[Figure], path: Path) -> None:
    """Writes the figures as JSON."""
    path.write_text(json.dumps([asdict(one) for one in figures], indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


def read(path: Path) -> list[Figure]:
    """The figures of a file that `write` made. Raises StopwrightError."""
    try:
        return [Figure(**one) for one in json.loads(path.read_text(encoding="utf-8"))]
    except (OSError, ValueError, TypeError) as error:
        raise StopwrightError(f"holds no figures ({error})", str(path), "write one with --json") from error


def compare(before: Sequence[Figure], after: Sequence[Figure]) -> str:
    """Every figure that both runs have, with the ratio after / before: times by their yardsticks, if both have them."""
    old = {one.name: one for one in before}
    rows = []
    for one in after:
        then, now, by = old.get(one.name), one.value, one.unit
        if then is None:
            continue
        was = then.value
        if then.yardsticks is not None and one.yardsticks is not None:
            was, now, by = then.yardsticks, one.yardsticks, "yardsticks"
        if was:
            rows.append(Figure(one.name, now / was, "×", note=f"{_plain(was)} → {_plain(now)} {by}".rstrip()))
    return table(rows)


def _plain(value: float) -> str:
    return f"{value:.0f}" if value == int(value) else f"{value:.3g}"
