"""Replays sheet layouts cut by cut; shares nothing with the planner but the shape of its answer."""

from collections import Counter

Rectangle = tuple[int, int, int, int]
"""From where to how far: along, across, length, width."""


def _sides(sheet):
    if isinstance(sheet, tuple):
        return sheet[0], sheet[1], sheet[2], ()
    return sheet.length, sheet.width, sheet.count, sheet.zones


def check_plan(plan, pieces, sheets, kerf=0, trim=0, stages=2, exact_strips=False, first=None, all_placed=None):
    """Raises AssertionError with the first thing that cannot be cut as written."""
    used: Counter[int] = Counter()
    made: Counter[int] = Counter()
    for layout in plan.layouts:
        used[layout.sheet] += layout.times
        assert layout.times > 0
        for p in layout.placements:
            made[p.piece] += layout.times
        check_layout(layout, pieces, sheets[layout.sheet], kerf, trim, stages, exact_strips, first)
    for n, sheet in enumerate(sheets):
        count = _sides(sheet)[2]
        assert count is None or used[n] <= count, f"{used[n]} sheets of line {n}, there are {count}"
    missing = dict(plan.unplaced)
    for n, piece in enumerate(pieces):
        assert made[n] + missing.get(n, 0) == piece[2], f"piece {n}: {made[n]} cut, {piece[2]} wanted"
    assert all(missing.values()), "a piece named as unplaced that is not missing"
    assert plan.sheets_used == sum(used.values())
    assert plan.least_possible <= plan.sheets_used
    assert plan.proven == (plan.least_possible == plan.sheets_used)
    if all_placed:
        assert not plan.unplaced, plan.unplaced


def check_layout(layout, pieces, sheet, kerf, trim, stages, exact_strips=False, first=None):
    length, width, _, zones = _sides(sheet)
    # rectangle -> (cuts that made it, as a row of stages)
    lying: dict[Rectangle, tuple[tuple[str, Rectangle], ...]] = {(0, 0, length, width): ()}
    assert [c.number for c in layout.cuts] == list(range(1, len(layout.cuts) + 1))
    stage = 0
    for cut in layout.cuts:
        assert cut.stage >= stage, f"cut {cut.number} goes back to stage {cut.stage}"
        stage = cut.stage
        assert cut.strip in lying, f"cut {cut.number}: no such strip {cut.strip}"
        path = lying.pop(cut.strip)
        x, y, long, w = cut.strip
        start, end = (y, y + w) if cut.direction == "rip" else (x, x + long)
        assert start < cut.position + kerf, f"cut {cut.number} misses its strip"
        assert cut.position < end, f"cut {cut.number} misses its strip"
        if cut.stage == 0:
            path = ()
        elif not path or path[-1][0] != cut.direction:
            path = (*path, (cut.direction, cut.strip))
        for low, high in ((start, cut.position), (cut.position + kerf, end)):
            if high > low:
                part = (x, low, long, high - low) if cut.direction == "rip" else (low, y, high - low, w)
                assert part not in lying
                lying[part] = path
    inside = (trim, trim, length - trim, width - trim)
    free: Counter[Rectangle] = Counter()
    for p in layout.placements:
        long, w = pieces[p.piece][:2]
        assert (p.length, p.width) == ((w, long) if p.turned else (long, w)), f"wrong size {p}"
        assert not p.turned or pieces[p.piece][3], f"turned against the grain: {p}"
        rectangle = (p.x, p.y, p.length, p.width)
        assert rectangle in lying, f"never cut free: {p}"
        free[rectangle] += 1
        assert free[rectangle] == 1, f"two pieces at one place: {p}"
        assert inside[0] <= p.x and inside[1] <= p.y, f"in the trimmed edge: {p}"
        assert p.x + p.length <= inside[2] and p.y + p.width <= inside[3], f"in the trimmed edge: {p}"
        for z in zones:
            apart = p.x + p.length <= z[0] or z[0] + z[2] <= p.x or p.y + p.width <= z[1] or z[1] + z[3] <= p.y
            assert apart, f"{p} lies on zone {z}"
        path = lying[rectangle]
        if first is not None and path and len(path) > stages:
            assert path[0][0] == first
        assert len(path) <= stages + 1, f"{len(path)} stages for {p}"
        if len(path) == stages + 1:
            # The last stage may only trim: nothing else may come out of the block that was cut.
            block = path[-1][1]
            inmates = [
                q
                for q in layout.placements
                if block[0] <= q.x < block[0] + block[2] and block[1] <= q.y < block[1] + block[3]
            ]
            assert inmates == [p], f"more than a trimming cut at the last stage: {inmates}"
            assert not exact_strips, f"trimmed in a strip that is to be exact: {p}"
    left = Counter((o.x, o.y, o.length, o.width) for o in layout.offcuts)
    for rectangle, n in left.items():
        assert n == 1 and rectangle in lying and rectangle not in free, f"no such offcut: {rectangle}"
    edge = [r for r in lying if r not in free and r not in left]
    for x, y, long, w in edge:
        outside = x + long <= inside[0] or y + w <= inside[1] or x >= inside[2] or y >= inside[3]
        assert outside, f"lost: {(x, y, long, w)}"
    for o in layout.offcuts:
        clear = all(
            o.x + o.length <= z[0] or z[0] + z[2] <= o.x or o.y + o.width <= z[1] or z[1] + z[3] <= o.y for z in zones
        )
        assert o.sound == clear
