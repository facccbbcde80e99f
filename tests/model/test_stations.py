"""Stations and stops: what they may be called."""

from dataclasses import replace

import pytest
from tests.builders import a_job, a_part, a_saw, a_shop

from stopwright.errors import Inconsistent
from stopwright.model.stations import Axis, Station
from stopwright.plan.plan import make_plan


@pytest.mark.parametrize("name", ["stop, left", "stop|left", "stop=left", "~ 1/2″ | “long” <b>"])
def test_a_stop_may_be_called_by_any_sign_that_can_be_printed(name: str) -> None:
    saw = a_saw()
    rip = replace(saw.axes[0], name=name)
    shop = a_shop(replace(saw, name=f"saw {name}", axes=(rip, *saw.axes[1:])))
    sheet = make_plan(a_job(a_part("A", 4, (400, 60, 20))), shop)
    named = {(run.station, stop.axis) for run in sheet.runs for stop in run.stops}
    assert (f"saw {name}", name) in named


def test_what_cannot_be_printed_is_no_name() -> None:
    with pytest.raises(Inconsistent, match="cannot be printed"):
        Axis("stop\nleft", "length")
    with pytest.raises(Inconsistent, match="cannot be printed"):
        Station("saw\ttable", ("rip",))


def test_stations_of_one_name_are_told_by_their_name() -> None:
    with pytest.raises(Inconsistent, match="2 stations are called saw; give each its own name"):
        a_shop(a_saw(), a_saw())
