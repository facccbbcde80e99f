"""Batches for the tests of the day, and a checker that shares nothing with what puts them into it."""

import itertools
from collections.abc import Sequence

from hypothesis import strategies as st

from stopwright.lengths import MM
from stopwright.plan.day.activities import Activity, Body, Work
from stopwright.plan.day.hours import DAY, hours_of
from stopwright.plan.day.timing import Timed

MIN = 60
HOURS = hours_of([(450, 600), (615, 750), (780, 990)])  # 7:30–10:00, 10:15–12:30, 13:00–16:30: 495 minutes
BODIES = (Body(frozenset("AB"), {("A", "B"): 5 * MIN, ("B", "A"): 10 * MIN}),)


def run(id_: str, minutes: int, line: str = "", after: Sequence[tuple[str, int]] = (), station: str = "") -> Activity:
    return Activity(
        id_, minutes * MIN, line or id_, after=tuple((one, lag * MIN) for one, lag in after), station=station
    )


def glue_up(
    id_: str, minutes: int, held: int, clamps: int = 1, line: str = "", after: Sequence[tuple[str, int]] = (), **more
) -> Activity:
    lags = tuple((one, lag * MIN) for one, lag in after)
    return Activity(id_, minutes * MIN, line or id_, after=lags, whole=True, clamps=clamps, held=held * MIN, **more)


@st.composite
def batches(draw, most: int = 6) -> Work:
    """Small batches of runs and glue-ups, with two kinds of clamps, few places and a machine of two stations."""
    lines = {name: draw(st.sampled_from(("A", "B", ""))) for name in ("one", "two")}
    made: list[Activity] = []
    for number in range(draw(st.integers(1, most))):
        after = [(one.id, draw(st.sampled_from((0, 30, 24 * 60)))) for one in made if draw(st.integers(0, 3)) == 0]
        line = draw(st.sampled_from(tuple(lines)))
        minutes = draw(st.integers(1, 100))
        if draw(st.booleans()):
            made.append(run(f"r{number}", minutes, line, after, lines[line]))
        else:
            opening = draw(st.sampled_from((300, 600))) * MM
            held, clamps = draw(st.sampled_from((0, 45, 120))), draw(st.integers(1, 3))
            lies = draw(st.booleans())
            made.append(
                glue_up(f"g{number}", minutes, held, clamps, f"glue {line}", after, opening=opening, lies_there=lies)
            )
    places = draw(st.integers(0, 2))
    return Work(tuple(made), HOURS, ((400 * MM, 3), (800 * MM, draw(st.integers(3, 4)))), places, BODIES)


def faults_of(work: Work, timed: Sequence[Timed]) -> list[str]:
    """Everything in which a timetable breaks a rule of the shop, worked out from its moments alone."""
    found = []
    of = {one.id: one for one in work.activities}
    falls = {one.id: one for one in timed}
    if sorted(of) != sorted(one.id for one in timed):
        found.append("not everything is done once")
    for one, two in itertools.pairwise(timed):
        if two.begin < one.end:
            found.append(f"{one.id} and {two.id} at once")
    for line in {one.line for one in work.activities}:
        wanted = [one.id for one in work.activities if one.line == line]
        if [one.id for one in timed if of[one.id].line == line] != wanted:
            found.append(f"line {line} in another order")
    for one in timed:
        asked = of[one.id]
        found += [f"{one.id} before {id_}" for id_, lag in asked.after if one.begin < falls[id_].end + lag]
        inside = sum(
            max(0, min(one.end, day * DAY + end) - max(one.begin, day * DAY + begin))
            for day in range(one.begin // DAY, one.end // DAY + 1)
            for begin, end in work.hours.stretches
        )
        if inside != asked.seconds + one.changing or (asked.whole and inside != one.end - one.begin):
            found.append(f"{one.id} outside the hours")
        if one.free != one.end + asked.held:
            found.append(f"{one.id} in clamps too long or too short")
        if sum(one.clamps) != asked.clamps:
            found.append(f"{one.id} with too few clamps or too many")
        found += [
            f"{one.id} in clamps too small"
            for (opening, _), count in zip(work.clamps or (), one.clamps, strict=False)
            if count and opening < asked.opening
        ]
    for moment in {one.begin for one in timed}:
        held = [one for one in timed if one.begin <= moment < one.free]
        for kind, (_, there) in enumerate(work.clamps or ()):
            if sum(one.clamps[kind] for one in held if one.clamps) > there:
                found.append(f"clamps used twice at {moment}")
        if work.places and sum(of[one.id].lies_there for one in held) > work.places:
            found.append(f"too many on the bench at {moment}")
    return found
