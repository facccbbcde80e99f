"""Stations and stops: what they must not be called."""

import pytest
from tests.builders import a_saw, a_shop

from stopwright.errors import Inconsistent
from stopwright.model.stations import Axis, Station


@pytest.mark.parametrize("name", ["stop, left", "stop|left", "stop=left"])
def test_a_stop_is_not_called_what_would_part_the_key_of_a_run(name: str) -> None:
    with pytest.raises(Inconsistent, match="write it without"):
        Axis(name, "length")


def test_a_station_is_not_called_so_that_the_key_of_a_run_names_another() -> None:
    with pytest.raises(Inconsistent, match=r"holds a \|"):
        Station("saw|table", ("rip",))


def test_stations_of_one_name_are_told_by_their_name() -> None:
    with pytest.raises(Inconsistent, match="2 stations are called saw; give each its own name"):
        a_shop(a_saw(), a_saw())
