"""Figures that a benchmark gives: what was measured, what it ought to be, and how two runs compare."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from stopwright.errors import StopwrightError


@dataclass(frozen=True, slots=True)
class Figure:
    """One measured value (seconds, a count, a ratio); `target` is the most it ought to be, None without a target."""

    name: str
    value: float
    unit: str
    target: float | None = None
    note: str = ""

    @property
    def verdict(self) -> str:
        """Whether the target is kept."""
        if self.target is None:
            return ""
        return "kept" if self.value <= self.target else "MISSED"


def table(figures: Sequence[Figure]) -> str:
    """The figures in aligned columns."""
    rows = [("what", "measured", "at most", "", "note")]
    for one in figures:
        target = "" if one.target is None else _plain(one.target)
        rows.append((one.name, f"{_plain(one.value)} {one.unit}".strip(), target, one.verdict, one.note))
    widths = [max(len(row[column]) for row in rows) for column in range(4)]
    return "\n".join(
        "  ".join([row[0].ljust(widths[0]), row[1].rjust(widths[1]), row[2].rjust(widths[2]), row[3].ljust(widths[3])])
        + f"  {row[4]}".rstrip()
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
    """Every figure that both runs have, with the ratio after / before."""
    old = {one.name: one for one in before}
    rows = [
        Figure(
            one.name, one.value / old[one.name].value, "×", note=f"{_plain(old[one.name].value)} → {_plain(one.value)}"
        )
        for one in after
        if one.name in old and old[one.name].value
    ]
    return table(rows)


def _plain(value: float) -> str:
    return f"{value:.0f}" if value == int(value) else f"{value:.3g}"
