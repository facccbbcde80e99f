"""Whole jobs from openings alone: every part worked by hand, and a sheet without a fault."""

import pytest
from tests.conftest import ROOT

from stopwright.actions.jobs.file_planning import plan_file
from stopwright.lengths import MM
from stopwright.model.parts import Hand


def lines(folder: str) -> dict[str, tuple[int, float, float, float]]:
    job = plan_file(ROOT / "fixtures" / folder).job
    return {part.mark: (part.quantity, part.length / MM, part.width / MM, part.thickness / MM) for part in job.parts}


def test_two_chests_with_four_drawers_of_different_heights() -> None:
    found = lines("seed-chests")
    box, inside = 564 - 25.4, 564 - 25.4 - 24  # 538.6, 514.6
    assert (box, inside) == (538.6, 514.6)
    wanted: dict[str, tuple[float, ...]] = {
        "Ks": (4, 720, 420, 18),
        "Kt": (4, 576, 413, 18),  # 564 + 2 × 6; 420 − 6 − 1
        "Kb": (2, 719, 581, 6),  # 564 + 2 × 9 − 1
    }
    for mark, opening in {"D1": 130, "D2": 150, "D3": 180, "D4": 224}.items():
        high = opening - 12.7
        count = 1 if mark == "D1" else 2
        wanted |= {
            f"{mark}s": (2 * count, 380, high, 12),
            f"{mark}f": (count, 526.6, high, 12),  # 514.6 + 2 × 6
            f"{mark}b": (count, 526.6, high - 16.2, 12),  # above 10 and a groove of 6.2
            f"{mark}bo": (count, 525.6, 373, 6),  # 514.6 + 12 − 1; 380 − 12 + 6 − 1
            f"{mark}a": (count, 560, opening - 4, 18),
        }
    wanted |= {  # 562.8 in place of 564: 1.2 less across
        "D1.2s": (2, 380, 117.3, 12),
        "D1.2f": (1, 525.4, 117.3, 12),
        "D1.2b": (1, 525.4, 101.1, 12),
        "D1.2bo": (1, 524.4, 373, 6),
        "D1.2a": (1, 558.8, 126, 18),
    }
    assert found.keys() == wanted.keys()
    for mark, line in wanted.items():
        assert found[mark] == pytest.approx(line), mark


def test_three_cabinets_with_two_doors_of_frame_and_panel() -> None:
    found = lines("honey-cabinets")
    wanted = {
        "Ks": (6, 700, 300, 18),
        "Kt": (6, 776, 293, 18),
        "Kb": (3, 699, 781, 6),
        "B": (3, 776, 260, 18),
        "Fst": (12, 661, 55, 20),  # 664 − 2 × 1.5
        "Ftr": (6, 286, 55, 20),  # 379 − 2 × 55 + 2 × 8.5
        "Fbr": (6, 286, 70, 20),
        "Fp": (6, 553, 286, 6),  # 661 − 55 − 70 + 18 − 1; 269 + 18 − 1
    }
    assert found.keys() == wanted.keys()
    for mark, line in wanted.items():
        assert found[mark] == pytest.approx(line), mark


@pytest.mark.parametrize("folder", ["seed-chests", "honey-cabinets"])
def test_the_sheet_has_no_fault_and_all_its_wood(folder: str) -> None:
    planned = plan_file(ROOT / "fixtures" / folder)
    assert planned.sheet.faults == ()
    assert planned.sheet.wood.to_buy == ()


def test_sides_that_face_each_other_are_pairs_where_it_matters() -> None:
    job = plan_file(ROOT / "fixtures" / "honey-cabinets").job
    assert job.part("Ks").hand is Hand.PAIRS  # the shelf lies above the middle
