"""Draws who imports whom, room by room: `python -m tests.draw_imports FILE.svg`; rooms that import each other are told.

A row is a layer, the arrow goes down. A line is as thick as there are imports; one in red goes up or both ways.
"""

import sys
import tomllib
from collections import Counter
from html import escape
from pathlib import Path

import grimp

ROOT = Path(__file__).parent.parent
WIDE, HIGH, BOX = 1500, 130, 118


def room_of(module: str) -> str:
    """The package a module lies in, without the root: `plan.ordering`, `store`, `cli`."""
    inner = module.split(".")[1:]
    return ".".join(inner[:-1] or inner)


def rows() -> list[list[str]]:
    """The layers as the contract names them, the topmost first."""
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text("utf8"))["tool"]["importlinter"]["contracts"]
    return [layer.split(" | ") for layer in contracts[0]["layers"]]


def imports() -> Counter[tuple[str, str]]:
    """How many modules of one room import how many of another."""
    graph = grimp.build_graph("stopwright")
    modules = {module for module in graph.modules if not graph.find_children(module) and "__" not in module}
    found: Counter[tuple[str, str]] = Counter()
    for module in modules:
        for used in graph.find_modules_directly_imported_by(module) & modules:
            if room_of(module) != room_of(used):
                found[room_of(module), room_of(used)] += 1
    return found


def places(rooms: set[str], layers: list[list[str]]) -> dict[str, tuple[float, float]]:
    """Where each room stands, its middle: in the row of its layer, or in rows below it where there are many."""
    found, y = {}, HIGH / 2
    for row in layers:
        within = sorted(room for room in rooms if room.split(".")[0] in row)
        for first in range(0, len(within), WIDE // (BOX + 20)):
            line = within[first : first + WIDE // (BOX + 20)]
            for number, room in enumerate(line):
                found[room] = (WIDE * (number + 1) / (len(line) + 1), y)
            y += HIGH
    return found


def drawing(found: Counter[tuple[str, str]]) -> str:
    """The picture as SVG."""
    at = places({room for pair in found for room in pair}, rows())
    high = max(y for _, y in at.values()) + HIGH / 2
    lines = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {high:.0f}" font-family="sans-serif">']
    for (user, used), count in sorted(found.items()):
        (x1, y1), (x2, y2) = at[user], at[used]
        colour = "#b00" if y1 > y2 or (used, user) in found else "#888"
        title = f"<title>{escape(user)} imports {count} of {escape(used)}</title>"
        across = f'x1="{x1:.0f}" y1="{y1:.0f}" x2="{x2:.0f}" y2="{y2:.0f}"'
        lines.append(
            f'<line {across} stroke="{colour}" stroke-width="{count**0.5 / 2:.1f}" opacity=".6">{title}</line>'
        )
    for room, (x, y) in at.items():
        box = f'x="{x - BOX / 2:.0f}" y="{y - 16:.0f}" width="{BOX}" height="32"'
        lines.append(f'<rect {box} rx="4" fill="#fff" stroke="#222"/>')
        lines.append(f'<text x="{x:.0f}" y="{y + 5:.0f}" text-anchor="middle" font-size="13">{escape(room)}</text>')
    return "\n".join([*lines, "</svg>", ""])


def main() -> None:
    """Writes the picture and prints the rooms that import each other."""
    found = imports()
    Path(sys.argv[1]).write_text(drawing(found), "utf8")
    for (one, other), count in sorted(found.items()):
        if one < other and (other, one) in found:
            print(f"{one} and {other} import each other: {count} and {found[other, one]}")


if __name__ == "__main__":
    main()
