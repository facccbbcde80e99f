"""What may still stand on one axis after some runs, without deciding yet what was taken away.

A state is `(may, old_1, places_1, old_2, places_2, ...)`: `may` holds the positions (as bits) that may still
stand; of those in `old_i` at most `places_i` do. The `old_i` grow, each holds the one before, and no line is
implied by another. Every set of positions allowed by these lines can be standing at no cost beyond that
already counted, so one state stands for all the choices of what to take away ("keep needed soonest",
Tang & Denardo, Operations Research 36(5), 1988, made lazily). These sets form a matroid on a chain, which is
why the questions below have exact answers in a few bit counts.
"""

from typing import TypeAlias

State: TypeAlias = tuple[int, ...]

NOTHING: State = (0,)


def step(state: State, need: int, room: int, later: int) -> tuple[int, State]:
    """How many positions of `need` stand already, and what may stand after the run.

    `room` is the number of places the run leaves free; `later` holds the positions that are wanted again.
    """
    may = state[0]
    hit = may & need
    rest = may & later & ~need
    wanted = need & later
    if len(state) == 1:
        hits = hit.bit_count()
        if not room:
            return hits, (wanted,)
        if rest.bit_count() <= room:
            return hits, (rest | wanted,)
        return hits, (rest | wanted, rest, room)
    total = hit.bit_count()
    bound = total
    lines: list[tuple[int, int]] = []
    for at in range(len(state) - 2, 0, -2):
        old, places = state[at], state[at + 1]
        inside = (hit & old).bit_count()
        lines.append((old, places + min(total - inside, bound)))
        bound = min(bound, places + total - inside)
    hits = bound
    if not room:
        return hits, (wanted,)
    # From the newest line inward: a line that leaves at least as many places as one around it says nothing.
    limit = room
    kept: list[tuple[int, int]] = []
    if rest.bit_count() > room:
        kept.append((rest, room))
    else:
        limit = rest.bit_count() + 1
    for old, places in lines:
        places -= hits
        if places < limit:
            kept.append((old & rest, places))
            limit = places
    # From the oldest line outward: drop what cannot stand at all and what an inner line implies.
    gone = 0
    inner, inner_places = 0, 0
    result: list[int] = []
    for old, places in reversed(kept):
        old &= ~gone
        if places == 0:
            gone |= old
            continue
        if places < inner_places + (old & ~inner).bit_count():
            result += (old, places)
            inner, inner_places = old, places
    return hits, ((rest & ~gone) | wanted, *result)


def most_standing(state: State, positions: int) -> int:
    """The greatest number of `positions` that can stand together."""
    positions &= state[0]
    best = positions.bit_count()
    for at in range(1, len(state), 2):
        best = min(best, state[at + 1] + (positions & ~state[at]).bit_count())
    return best


def most_shared(before: State, after: State) -> int:
    """The greatest number of positions that can stand in both states at once.

    The one state comes from the runs before a gap, the other, backwards, from those after it. The answer is
    exact (matroid intersection, Edmonds 1970; on two chains the least cut is one line of each).
    """
    both = before[0] & after[0]
    best = both.bit_count()
    for at in range(1, len(before), 2):
        outside = both & ~before[at]
        places = before[at + 1]
        best = min(best, places + outside.bit_count())
        for other in range(1, len(after), 2):
            best = min(best, places + after[other + 1] + (outside & ~after[other]).bit_count())
    for other in range(1, len(after), 2):
        best = min(best, after[other + 1] + (both & ~after[other]).bit_count())
    return best


def most_missing(state: State, wished: State, enough: int = 1 << 30) -> int:
    """How many settings bring `state` level with any choice that `wished` allows, at most.

    Beyond `enough` the count is not taken further.
    """
    may = wished[0]
    foreign = may & ~state[0]
    many = len(wished)
    worst = foreign.bit_count()
    for at in range(1, many, 2):
        standing = wished[at + 1] + (foreign & ~wished[at]).bit_count()
        if standing < worst:
            worst = standing
    for line in range(1, len(state), 2):
        if worst > enough:
            return worst
        positions = may & (foreign | state[line])
        most = positions.bit_count()
        for at in range(1, many, 2):
            standing = wished[at + 1] + (positions & ~wished[at]).bit_count()
            if standing < most:
                most = standing
        if most - state[line + 1] > worst:
            worst = most - state[line + 1]
    return worst
