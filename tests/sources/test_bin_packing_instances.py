"""Named instances of the literature, a few quick ones of each kind; values proven unless said otherwise.

Falkenauer, Journal of Heuristics 2, 1996, 5 (U: uniform, T: triplets without waste); Scholl, Klein & Jürgens,
Computers & Operations Research 24, 1997, 627; Hard28: Schoenfield 2002; all as collected by Delorme, Iori &
Martello 2018 (S). Shop-like lists with kerf: seeded, proven by their bound (K).
"""

import json
from collections import Counter
from fractions import Fraction
from pathlib import Path

import pytest
from tests.plan.cutting.board_checker import faults

from stopwright.plan.cutting import lay_out_boards

DATA = Path(__file__).parents[2].parent / "shared" / "data" / "bpp.json"

PROVEN = [
    "Falkenauer_u120_00",
    "Falkenauer_u250_12",
    "Falkenauer_u1000_00",
    "Falkenauer_t60_01",
    "Falkenauer_t60_13",
    "Falkenauer_t120_06",
    "Falkenauer_t249_03",
    "N1C1W1_F",
    "N1W1B1R5",
    "shop-kerf-07",
    "shop-kerf-15",
    "shop-kerf-20",
]
ABOVE_THE_RELAXATION = ["Hard28_BPP14", "Hard28_BPP359"]
WITHIN_ONE = ["Hard28_BPP175"]


@pytest.fixture(scope="module")
def instances():
    if not DATA.exists():
        pytest.skip("the benchmark data is not beside the project (shared/data/bpp.json)")
    return {row["name"]: row for row in json.loads(DATA.read_text())}


def planned(row, effort=None):
    kerf = Fraction(str(row["kerf"]))
    scale = kerf.denominator
    pieces = [(int(Fraction(str(item)) * scale), n) for item, n in Counter(row["items"]).items()]
    boards = [(row["capacity"] * scale, None)]
    plan = lay_out_boards(pieces, boards, kerf=int(kerf * scale), trim=0, effort=effort)
    assert faults(plan, pieces, boards, int(kerf * scale), 0) == []
    return plan


@pytest.mark.parametrize("name", PROVEN)
def test_the_known_optimum_is_reached_and_proven(instances, name):
    row = instances[name]
    plan = planned(row)
    assert (plan.boards_used, plan.least_possible, plan.proven) == (row["optimum"], row["optimum"], True)


@pytest.mark.parametrize("name", ABOVE_THE_RELAXATION)
def test_one_board_more_than_the_relaxation_promises_is_proven_to_be_needed(instances, name):
    row = instances[name]
    plan = planned(row)
    assert plan.boards_used == plan.least_possible == row["best_known"] == row["lower_bound"] + 1
    assert plan.proven


@pytest.mark.parametrize("name", WITHIN_ONE)
def test_the_hardest_end_at_most_one_above_the_bound_and_do_not_claim_more(instances, name):
    row = instances[name]
    asked = iter(range(300))
    plan = planned(row, effort=lambda: next(asked, None) is None)
    assert plan.least_possible == row["lower_bound"]
    assert row["lower_bound"] <= plan.boards_used <= row["lower_bound"] + 1
    assert plan.proven == (plan.boards_used == plan.least_possible)
