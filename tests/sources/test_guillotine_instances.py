"""Published sheet-cutting instances: furniture (Macedo, Alves & Valério de Carvalho 2010), Berkey & Wang 1987,
Martello & Vigo 1998, Bengtsson 1982.

Instances (C, secondary copy of the 2DPackLib set); best values and lower bounds (C, from the same collection,
computed there, not published optima unless proven).
"""

import json
from pathlib import Path

import pytest
from tests.plan.sheet_checker import check_plan

from stopwright.plan.cutting import lay_out_sheets
from stopwright.plan.effort import Steps

DATA = Path(__file__).parents[2].parent / "shared" / "data" / "guillotine.json"
# Small and large of every family; the whole set is for the benchmark.
FURNITURE = ("a02-kerf4", "a05", "a08", "a12-kerf4", "a15", "a17-kerf4", "a22-kerf4", "a23", "a36", "a42")
OTHERS = ("beng06", "cl01_020_03", "cl02_020_01", "cl03_040_04", "cl05_020_01", "cl07_020_02", "cl09_040_02")


def instance(name):
    if not DATA.exists():
        pytest.skip(f"the benchmark instances are not here ({DATA.name})")
    (found,) = [one for one in json.loads(DATA.read_text()) if one["name"] == name]
    return found


def laid_out(one, stages):
    pieces = [(w, h, n, one["rotation"]) for w, h, n in one["items"]]
    sheets = [(one["W"], one["H"], None)]
    plan = lay_out_sheets(pieces, sheets, kerf=one["kerf"], stages=stages, effort=Steps(400))
    check_plan(plan, pieces, sheets, kerf=one["kerf"], stages=stages, all_placed=True)
    return plan


@pytest.mark.parametrize("name", FURNITURE + OTHERS)
def test_three_stages_are_within_one_sheet_of_the_best_known_and_never_below_the_bound(name):
    one = instance(name)
    plan = laid_out(one, 3)
    assert one["lower_bound"] <= plan.sheets_used <= one["best_known_guillotine"] + 1
    assert plan.least_possible <= one["best_known_guillotine"]
    if plan.proven and one["optimal"]:
        assert plan.sheets_used == one["best_known_guillotine"]


@pytest.mark.parametrize("name", FURNITURE)
def test_two_stages_prove_what_is_proven_elsewhere(name):
    one = instance(name)
    plan = laid_out(one, 2)
    assert one["two_stage_lower_bound"] <= plan.sheets_used
    assert plan.least_possible <= one["two_stage_best"]
    if one["two_stage_proven"]:
        assert plan.proven
        assert plan.sheets_used == one["two_stage_best"]
