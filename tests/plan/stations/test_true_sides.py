"""How wood lies that is only made true or sawn: the sides that earlier runs made true, and none that no run did."""

from collections.abc import Sequence

from tests.builders import a_board, a_job, a_part, a_planer, a_saw, a_shop, mm
from tests.conftest import ROOT

from stopwright.intake.job_file import read_job
from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Kind
from stopwright.model.stations import Shop
from stopwright.model.stock import StockKind
from stopwright.plan.operations.groove import Groove
from stopwright.plan.operations.joint import EDGES
from stopwright.plan.pictures.of_runs import boards_of
from stopwright.plan.plan import make_plan
from stopwright.plan.run_sheet import Run
from stopwright.plan.stations.cut_before import CutBefore

LEG_AND_RAILS = (a_part("A", 4, (450, 38, 38)), a_part("B", 4, (450, 60, 22)), a_part("C", 4, (450, 38, 22)))


def labels(job: Job, shop: Shop | None = None) -> list[tuple[Run, list[str]]]:
    """Every run with what its pictures are called for those who do not see them."""
    shop = shop or a_shop()
    runs = make_plan(job, shop).runs
    cut = CutBefore(runs, job)
    return [(run, [board.label for board in boards_of(run, job, shop, cut)]) for run in runs]


def of(work: str, told: Sequence[tuple[Run, list[str]]], lot: str = "") -> list[list[str]]:
    return [found for run, found in told if (run.work, run.lot) == (work, lot)]


def lying(found: list[str]) -> list[str]:
    """What is told of how the wood lies, in the pictures of a run."""
    return [label for label in found if "as it lies" in label or "; " in label]


def test_at_the_jointer_no_side_is_true_until_the_face_lies_against_the_fence() -> None:
    ((first, then),) = of("joint", labels(a_job(*LEG_AND_RAILS)))
    assert "side down" not in first and "at the fence" not in first
    assert then == "then the edge as it lies: face edge down, face side at the fence"


def test_at_the_planer_the_true_face_lies_down_once_and_not_again_when_both_are_planed() -> None:
    told = of("plane", labels(a_job(a_part("A", 4, (450, 60, 20)), stock=(a_board(4, (2400, 150, 27)),))))
    assert len(told) > 2
    assert told[0][0].endswith("; face side down")
    assert all("face side" not in label for found in told[1:] for label in found)


def test_where_no_jointer_makes_them_true_no_side_is_told_of() -> None:
    told = labels(a_job(a_part("A", 4, (450, 60, 20))), a_shop(a_planer(), a_saw()))
    assert {run.work for run, _ in told} >= {"plane", "rip", "crosscut"}
    assert not any("face side" in label or "face edge" in label for _, found in told for label in found)
    ((label,),) = of("crosscut", told)  # the end was squared all the same
    assert label.endswith("; marked end at the stop")


def test_strips_of_two_thicknesses_at_one_fence_have_a_picture_each() -> None:
    found = next(found for found in of("rip", labels(a_job(*LEG_AND_RAILS))) if len(lying(found)) > 1)
    assert len(found) == 3  # blade and fence once, 38 wide
    assert len({label.split(" as it lies")[0] for label in lying(found)}) == 2
    assert all(label.endswith("face side down, face edge at the fence") for label in lying(found))


def test_pieces_of_other_sections_at_one_stop_have_a_picture_each_with_the_end_at_the_stop() -> None:
    ((*found,),) = of("crosscut", labels(a_job(*LEG_AND_RAILS)))
    assert lying(found) == [
        f"{mark} as it lies: face side down, marked end at the stop, face edge at the fence" for mark in "ABC"
    ]
    assert len(found) == 5  # seen from above twice: 38 and 60 wide


def test_a_sheet_has_no_true_face_but_a_squared_end() -> None:
    sheet = a_board(1, (2440, 1220, 18), StockKind.SHEET)
    told = labels(a_job(a_part("D", 4, (360, 300, 18), kind=Kind.SHEET), stock=(sheet,)))
    assert [lying(found) for found in of("rip", told)] == [[]]
    ((label,),) = of("crosscut", told)
    assert label.endswith("; marked end at the stop")


def test_strips_of_a_panel_are_jointed_with_either_face_at_the_fence_and_a_panel_shows_no_face() -> None:
    told = labels(read_job(ROOT / "fixtures" / "hall-bench"), default_shop())
    ((first, *found),) = of("joint", told, EDGES)
    assert "face" not in first
    assert found == [
        "one edge as it lies: face edge down, face side at the fence",
        "then the other as it lies: far edge down, back at the fence",
    ]
    assert [lying(found) for found in of("plane", told, "panels")] == [[]]
    ((label,),) = of("crosscut", told, "panels")
    assert label.split("; ")[-1] == "marked end at the stop"


def test_a_groove_run_while_the_wood_was_long_is_in_the_piece_at_the_stop() -> None:
    groove = Groove(mark="G1", parts=("A",), side=Side.FACE, from_=Side.EDGE, at=mm(6), width=mm(6), depth=mm(6))
    job = a_job(a_part("A", 8, (500, 55, 20)), stock=(a_board(4, (2400, 150, 27)),), cuts=(groove,))
    shop = default_shop()
    runs = make_plan(job, shop).runs
    works = [run.work for run in runs]
    assert works.index("groove") < works.index("crosscut")
    run = runs[works.index("crosscut")]
    lies = boards_of(run, job, shop, CutBefore(runs, job))[-1]
    assert any(getattr(shape, "kind", "") in ("slot", "unseen") for shape in lies.drawn)
