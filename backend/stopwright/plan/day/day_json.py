"""The day of a run sheet as plain data for JSON; a moment is {"day", "time", "minute"}, minutes from midnight."""

from typing import Any

from stopwright.lengths import Show
from stopwright.plan.day.hours import Seconds
from stopwright.plan.day.timetable import DayPlan, Entry, Outlook, day_and_time
from stopwright.plan.length_json import length_json


def day_json(plan: DayPlan, show: Show) -> dict[str, Any]:
    """When the batch is done, both orders to choose from, and every run and glue-up with its moments."""
    return {
        "done": moment_json(plan.done),
        "least": moment_json(plan.least),
        "proven": plan.proven,
        "order": plan.chosen.value,
        "orders": [_outlook(one) for one in plan.outlooks],
        "glues": [
            {"name": one.name, "open_minutes": one.open_minutes, "clamp_minutes": one.clamp_minutes}
            for one in plan.glues
        ],
        "entries": [_entry(one, show) for one in plan.entries],
    }


def moment_json(at: Seconds) -> dict[str, Any]:
    """A moment as day, counted from 1, time of day, and minutes from midnight before the first day.

    >>> moment_json(24 * 3600 + 450 * 60)
    {'day': 2, 'time': '07:30', 'minute': 1890}
    """
    day, time = day_and_time(at)
    return {"day": day, "time": time, "minute": (at + 30) // 60}


def _outlook(one: Outlook) -> dict[str, Any]:
    return {
        "order": one.name.value,
        "done": moment_json(one.done),
        "changeovers": one.changeovers,
        "changing_minutes": one.changing_minutes,
        "settings": one.settings,
    }


def _entry(one: Entry, show: Show) -> dict[str, Any]:
    glued: dict[str, Any] = {"stage": one.stage, "unit": one.unit} if one.stage else {"run": one.run}
    if one.whose:
        glued["job"] = one.whose
    if one.nth:
        glued["panel"] = one.nth
    moments = {"begin": moment_json(one.begin), "end": moment_json(one.end)}
    if not one.is_glued:
        return glued | moments
    clamps = [{"opening": length_json(opening, show), "count": count} for opening, count in one.clamps]
    return glued | moments | {"clamps": clamps, "free": moment_json(one.free), "rested": moment_json(one.rested)}
