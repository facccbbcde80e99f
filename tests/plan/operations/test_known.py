"""Operations are found by their files, and one that lacks a part cannot be imported."""

from dataclasses import fields, replace

import pytest
from tests.builders import a_job, a_saw, a_shop

from stopwright.model.stations import Axis
from stopwright.plan.operations.known import CAUTIONS, OPERATIONS, ROLES
from stopwright.plan.operations.operation import Operation
from stopwright.plan.operations.rip import OPERATION as RIP
from stopwright.plan.plan import make_plan


@pytest.mark.parametrize("forgotten", [field.name for field in fields(Operation)])
def test_an_operation_that_lacks_a_part_is_an_error_when_it_is_made(forgotten):
    parts = {field.name: getattr(RIP, field.name) for field in fields(Operation)}
    del parts[forgotten]
    with pytest.raises(TypeError, match=forgotten):
        Operation(**parts)


def test_operations_are_known_by_the_name_of_their_work_in_the_order_in_which_a_piece_meets_them():
    assert list(OPERATIONS)[:3] == ["break down", "joint", "plane"]
    stages = [one.stage for one in OPERATIONS.values()]
    assert stages == sorted(stages)
    assert all(name == one.work for name, one in OPERATIONS.items())


def test_a_role_that_stands_with_a_tool_names_one_that_there_is():
    assert all(role.stands_with in ROLES for role in ROLES.values() if role.stands_with)
    assert {role for one in OPERATIONS.values() for role in one.roles} == set(ROLES.values())


def test_every_caution_says_where_it_comes_from_and_how_sure_it_is():
    assert all(caution.source and caution.sure for caution in CAUTIONS)


def test_what_no_station_does_is_said_and_the_rest_is_planned():
    saw = a_saw(work=("rip",))
    sheet = make_plan(a_job(), a_shop(replace(saw, axes=(*saw.axes, Axis("gauge", "angle")))))
    said = " ".join(remark.text for remark in sheet.warnings)
    assert "no station does the work called crosscut" in said and "no station does the work called square" in said
    assert [run.work for run in sheet.runs] == ["rip"]
