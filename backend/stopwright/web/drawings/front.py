"""The plans to choose from as points: boards used upwards, settings to the right, handlings to the right beside it."""

from collections import defaultdict
from collections.abc import Sequence

from markupsafe import Markup, escape

from stopwright.model.job import Flow
from stopwright.plan.weighing.alternatives import Alternative

WIDE, TALL = 340.0, 230.0
LEFT, RIGHT, TOP, FLOOR = 48.0, 312.0, 26.0, 178.0


def draw_front(found: Sequence[Alternative], now: int, what: str) -> Markup:
    """Boards against `what`, "settings" or "handlings"; plans by their number from 1, `now` the one that is chosen."""
    across = [one.settings.made if what == "settings" else one.handlings for one in found]
    boards = [one.boards for one in found]
    x_of, y_of = _scale(across, LEFT + 18, RIGHT - 18), _scale(boards, FLOOR - 18, TOP + 18)
    drawn = [f'<path class="axis" d="M{LEFT} {TOP}V{FLOOR}H{RIGHT}"/>']
    for value in sorted(set(across)):
        drawn.append(f'<path class="tick" d="M{x_of[value]:.1f} {FLOOR}v7"/>')
        drawn.append(_text(f"{value}", x_of[value], FLOOR + 22, "middle"))
    for value in sorted(set(boards)):
        drawn.append(f'<path class="tick" d="M{LEFT} {y_of[value]:.1f}h-7"/>')
        drawn.append(_text(f"{value}", LEFT - 12, y_of[value] + 5, "end"))
    drawn.append(_text("boards", 6, 15, "start", "named"))
    drawn.append(_text(what, RIGHT, TALL - 10, "end", "named"))
    places: dict[tuple[int, int], list[int]] = defaultdict(list)
    for number, place in enumerate(zip(across, boards, strict=True), start=1):
        places[place].append(number)
    for (right, up), numbers in places.items():
        x, y = x_of[right], y_of[up]
        kind = "point now" if now in numbers else "point"
        lots = {found[number - 1].choices.flow for number in numbers}
        drawn.append(_sign(x, y, kind, lots))
        drawn.append(
            _text(
                ", ".join(map(str, numbers)),
                x + (15 if x < RIGHT - 50 else -15),
                y - 10,
                "start" if x < RIGHT - 50 else "end",
                "number",
            )
        )
    said = "; ".join(
        f"plan {number}: {one.boards} boards, {value} {what}"
        for number, (one, value) in enumerate(zip(found, across, strict=True), start=1)
    )
    return Markup(
        f'<svg class="front" viewBox="0 0 {WIDE:g} {TALL:g}" role="img" aria-label="{escape(said)}">'
        f"{''.join(drawn)}</svg>"
    )


def _sign(x: float, y: float, kind: str, flows: set[Flow | None]) -> str:
    """A circle for station by station, a square on its corner for part by part, one in the other for both."""
    circle = f'<circle class="{kind}" cx="{x:.1f}" cy="{y:.1f}" r="9"/>'
    corner = f'<path class="{kind}" d="M{x:.1f} {y - 12:.1f}l12 12l-12 12l-12 -12z"/>'
    if Flow.PART_BY_PART not in flows:
        return circle
    return corner if Flow.STATION_BY_STATION not in flows else corner + circle.replace('r="9"', 'r="6"')


def _scale(values: Sequence[int], start: float, end: float) -> dict[int, float]:
    """Where each value stands between start and end; a single one in the middle."""
    low, high = min(values), max(values)
    if low == high:
        return {low: (start + end) / 2}
    return {value: start + (end - start) * (value - low) / (high - low) for value in values}


def _text(text: str, x: float, y: float, anchor: str, kind: str = "said") -> str:
    return f'<text class="{kind}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(text)}</text>'
