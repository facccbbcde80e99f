"""Replays a whole run sheet, stop by stop and cut by cut; shares with the planner only the shapes of its answer."""

from collections import Counter, defaultdict
from collections.abc import Callable
from itertools import pairwise

from tests.builders import at_length

from stopwright.model.gear import Blade
from stopwright.model.job import Job
from stopwright.model.parts import Kind
from stopwright.model.stations import Shop
from stopwright.plan.run_sheet import Layout, Placement, RunSheet, Stop


def check_sheet(sheet: RunSheet, job: Job, shop: Shop) -> None:
    """AssertionError with words when the sheet cannot be worked as it is written."""
    _replay_stops(sheet, shop)
    _replay_wood(sheet, job, shop)


def _replay_stops(sheet: RunSheet, shop: Shop) -> None:
    """Whatever "stands" must stand: never more than the axis holds, never closer than its clearance.

    Which stop is taken away for a new one is not written on the sheet; a person would keep those wanted again
    soonest, so that is what is tried here, by looking ahead in the sheet itself.
    """
    made = 0
    for station in shop.stations:
        runs = [run for run in sheet.runs if run.station == station.name]
        for axis in station.axes:
            wanted = [next((stop for stop in run.stops if stop.axis == axis.name), None) for run in runs]
            stands: list[Stop] = []
            for now, stop in enumerate(wanted):
                if stop is None:
                    continue
                where = f"run {runs[now].number}, {axis.name} at {stop.target}"
                if stop.move == "stands":
                    assert any(map(stop_serves(stop), stands)), f"{where}: said to stand and does not"
                    continue
                made += 1
                assert stop.target not in [one.target for one in stands], f"{where}: set although it stands"
                later = [one for one in wanted[now + 1 :] if one is not None]
                if axis.clearance:
                    here = at_length(stop.target)
                    stands = [one for one in stands if abs(at_length(one.target) - here) >= axis.clearance]
                while len(stands) >= axis.holds:
                    again = [
                        next((n for n, one in enumerate(later) if stop_serves(one)(there)), len(later))
                        for there in stands
                    ]
                    stands.pop(again.index(max(again)))
                stands.append(stop)
    assert made == sheet.settings.made, f"{made} settings are made, {sheet.settings.made} are said"
    assert sheet.settings.least_possible <= made
    assert not sheet.settings.proven or sheet.settings.least_possible == made


def stop_serves(wanted: Stop) -> Callable[[Stop], bool]:
    """Whether what stands serves: set to the very target, or to the same reading and within the tolerance of it."""

    def serves(there: Stop) -> bool:
        if there.target == wanted.target:
            return True
        if wanted.tolerance is None or there.reading != wanted.reading:
            return False
        return abs(at_length(there.target) - at_length(wanted.target)) <= wanted.tolerance

    return serves


def _replay_wood(sheet: RunSheet, job: Job, shop: Shop) -> None:
    saw = next(station for station in shop.stations if "rip" in station.work)
    used: Counter[int] = Counter()
    placed: Counter[str] = Counter()
    for layout in sheet.wood.layouts:
        used[layout.stock] += layout.times
        placed.update(
            {mark: count * layout.times for mark, count in Counter(p.mark for p in layout.placements).items()}
        )
        _replay_layout(layout, job, shop, saw.of(Blade).kerf, saw.of(Blade).trim)
    for index, times in used.items():
        on_hand = job.stock[index].quantity
        assert on_hand is None or times <= on_hand, f"row {index}: {times} used, {on_hand} on hand"
    assert sum(used.values()) == sheet.wood.boards_used >= sheet.wood.least_possible
    bought = {blank.mark: blank.count for blank in sheet.wood.to_buy}
    for part in job.parts:
        assert placed[part.mark] + bought.get(part.mark, 0) == part.quantity, f"{part.mark}: pieces lost or doubled"


def _replay_layout(layout: Layout, job: Job, shop: Shop, kerf: int, trim: int) -> None:
    row = job.stock[layout.stock]
    sheet = row.is_sheet
    left = trim if not sheet or row.kind != "offcut" else 0
    low = left if sheet else shop.allowance.width
    right, high = row.length - left, row.width - (left if sheet else 0)
    parts = {part.mark: part for part in job.parts}
    strips: dict[tuple[int, int], list[Placement]] = defaultdict(list)
    for p in layout.placements:
        part = parts[p.mark]
        assert {p.length, p.width} == {part.length, part.width}, f"{p.mark} has another size"
        turned = (p.length, p.width) != (part.length, part.width)
        assert not turned or (part.kind is Kind.SHEET and part.grain != "along"), f"{p.mark} may not be turned"
        assert left <= p.x and p.x + p.length <= right, f"{p.mark} runs over the end"
        assert low <= p.y and p.y + p.width <= high, f"{p.mark} runs over the edge"
        for zone in row.zones:
            top = row.width if zone.high is None else zone.high
            clear = p.x >= zone.end or p.x + p.length <= zone.start or p.y >= top or p.y + p.width <= zone.low
            assert clear, f"{p.mark} lies in a zone not to be used"
        strips[p.y, p.width].append(p)
    rows = sorted(strips)
    for (y, width), (above, _) in pairwise(rows):
        assert y + width + kerf <= above, "two strips are closer than the kerf, or a strip has two widths"
    for pieces in strips.values():
        pieces.sort(key=lambda p: p.x)
        for one, other in pairwise(pieces):
            assert one.x + one.length + kerf <= other.x, f"{one.mark} and {other.mark} are closer than the kerf"
