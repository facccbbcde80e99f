"""The benchmark: its table, its file, its comparison; small parts of it really run."""

from pathlib import Path

import pytest

from stopwright.benchmark import orders, years
from stopwright.benchmark.__main__ import main
from stopwright.benchmark.figures import Figure, compare, read, table, write
from stopwright.benchmark.orders import _as_program
from stopwright.benchmark.wood import ROLLS
from stopwright.benchmark.yardstick import fixed_work
from stopwright.plan.programs import solve_whole


def test_a_figure_says_whether_its_target_is_kept() -> None:
    assert [Figure("x", value, "s", 1.0).verdict for value in (0.9, 1.0, 1.1)] == ["kept", "kept", "MISSED"]
    assert Figure("x", 3, "s").verdict == ""
    assert "MISSED" in table([Figure("slow", 2.0, "s", 1.0)])


def test_two_runs_are_compared_as_ratios(tmp_path: Path) -> None:
    before, after = tmp_path / "a.json", tmp_path / "b.json"
    write([Figure("plan", 2.0, "s"), Figure("gone", 1.0, "s")], before)
    write([Figure("plan", 1.0, "s"), Figure("new", 1.0, "s")], after)
    compared = compare(read(before), read(after))
    assert "0.5 ×" in compared and "new" not in compared


def test_times_are_compared_by_the_yardstick_and_all_else_as_it_is() -> None:
    # 2 s where a yardstick takes 1 s, 3 s where it takes 2 s: 2 against 1.5 yardsticks
    before = [Figure("plan", 2.0, "s").measured_by(1.0), Figure("gap", 2.0, "%").measured_by(1.0)]
    after = [Figure("plan", 3.0, "s").measured_by(2.0), Figure("gap", 3.0, "%").measured_by(2.0)]
    compared = compare(before, after)
    assert "0.75 ×" in compared and "2 → 1.5 yardsticks" in compared
    assert "1.5 ×" in compared and "2 → 3 %" in compared


def test_a_run_without_a_yardstick_is_compared_by_its_seconds() -> None:
    assert "1.5 ×" in compare([Figure("plan", 2.0, "s")], [Figure("plan", 3.0, "s").measured_by(2.0)])


def test_seconds_are_held_against_the_target_by_the_yardstick_and_what_a_person_waits_is_not() -> None:
    assert Figure("plan", 1.5, "s", 1.0).measured_by(2.0).verdict == "kept"
    assert Figure("plan", 1.5, "s", 1.0).measured_by(1.0).verdict == "MISSED"
    assert Figure("tap", 60, "ms", 50).measured_by(2.0).verdict == "MISSED"
    assert Figure("tap", 60, "ms").measured_by(2.0).yardsticks == 0.03


def test_the_yardstick_is_the_same_work_as_ever() -> None:
    # else figures of two versions could not be compared: who changes the work measures the older version anew
    assert fixed_work() == (4392, 71330)


def test_an_unknown_subject_and_a_bad_file_are_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "bad.json").write_text("{}x")
    assert main(["weather"]) == 2
    assert main(["compare", str(tmp_path / "bad.json"), str(tmp_path / "bad.json")]) == 2
    assert "choose from" in capsys.readouterr().err


def test_the_general_model_of_an_order_has_the_settings_of_the_three_jobs() -> None:
    # {a,b},{b,c},{c,d} on two places, empty start: 4 settings (Tang & Denardo 1988, C; over all orders K)
    columns, rows = _as_program({"jobs": [[0, 1], [1, 2], [2, 3]], "capacity": 2})
    found = solve_whole(columns, rows, lambda: False)
    assert found.complete and round(found.bound) == 4


def test_the_orders_are_measured_on_the_instances_that_are_there(monkeypatch: pytest.MonkeyPatch) -> None:
    # three jobs, four settings (see above); two widths with three lengths between them: each once, 4 (K)
    jobs = {"jobs": [[0, 1], [1, 2], [2, 3]], "capacity": 2, "best_known_settings": 4}
    pairs = {"pairs": [[0, 0], [1, 0], [0, 1]], "rip_capacity": 1, "crosscut_stops": 1, "best_known_settings": 4}
    rows = {
        "ssp": [{**jobs, "name": "three", "group": "A1"}],
        "two_axis": [{**pairs, "distinct_widths": 2, "min_stops_all_once": 1}],
    }
    monkeypatch.setattr(orders, "published", rows.get)
    found = {one.name: one.value for one in orders.measure_orders(False, 0.01)}
    assert found["order A, B: not proven"] == found["two axes: flip stops needed, wrong"] == 0
    assert found["order A, B: slowest"] > 0


def test_the_rolls_of_the_worked_example_are_those_of_the_article() -> None:
    # 13 widths, 73 rolls with 0.401 % waste (C): 73 × 5600 × (1 − 0.00401) is what the widths add up to
    assert len(ROLLS) == 13
    assert round(100 * (1 - sum(width * count for width, count in ROLLS) / (73 * 5600)), 3) == 0.401


def test_a_log_of_years_is_gone_on_from_after_a_start(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(years, "JOBS", 20)
    figures = list(years.measure_years(True, 1.0))
    assert [figure.name.split(",")[1] for figure in figures] == [" with nothing kept"] * 2 + [" after a start"] * 2
    assert {figure.note for figure in figures} == {"2 jobs, 2102 events"}
