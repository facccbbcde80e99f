"""Plans to choose from at the command line."""

from stopwright.cli import main
from tests.conftest import ROOT

STOOLS = str(ROOT / "fixtures" / "bakery-stools")


def test_the_plans_to_choose_from_are_listed_by_number(capsys) -> None:
    assert main(["plan", STOOLS, "--alternatives"]) == 0
    head, *lines = capsys.readouterr().out.splitlines()
    assert head.split()[:3] == ["plan", "boards", "settings"]
    assert [line.split()[:3] for line in lines] == [["1", "6", "36"], ["2", "6", "36"]]
    assert "part by part" in lines[0] and "station by station" in lines[1]


def test_a_plan_of_the_list_is_printed_whole(capsys) -> None:
    assert main(["plan", STOOLS, "--choose", "1"]) == 0
    by_parts = capsys.readouterr().out
    main(["plan", STOOLS, "--choose", "2"])
    by_stations = capsys.readouterr().out
    main(["plan", STOOLS])
    assert capsys.readouterr().out == by_stations != by_parts


def test_a_plan_that_is_not_in_the_list_is_refused_in_words(capsys) -> None:
    for number in ("9", "-1"):
        assert main(["plan", STOOLS, "--choose", number]) == 2
        assert "choose from 1 to 2" in capsys.readouterr().err
