"""Flip stops against settings made again, exactly."""

from dataclasses import replace

from tests.builders import a_job, a_part, a_saw, a_shop

from stopwright.model.job import Flow
from stopwright.plan.choices import Choices
from stopwright.plan.plan import make_plan
from stopwright.plan.weighing.flow_figures import FlipStops, flip_stops, size_pairs


def worked(pairs, stops):
    saw = a_saw()
    shop = a_shop(replace(saw, axes=(saw.axes[0], replace(saw.axes[1], holds=stops))))
    parts = [a_part(chr(65 + i), 1, (length, width, 22)) for i, (length, width) in enumerate(pairs)]
    return make_plan(a_job(*parts), shop, Choices(Flow.PART_BY_PART)), shop


RING = [(450, 84), (720, 84), (450, 60), (720, 60)]


def test_a_ring_needs_two_stops_and_with_one_a_setting_is_made_again() -> None:
    sheet, shop = worked(RING, 1)
    found = flip_stops(sheet, shop)
    assert found == FlipStops(1, 2, 2, 1)
    assert found.sentence == (
        "With 2 flip stops nothing is set twice part by part; with your 1, one setting is made again."
    )


def test_three_lengths_shared_by_two_widths_need_three_stops() -> None:
    # 84 and 60 share 450, 600 and 720: all three must stay standing while the width changes
    pairs = [(length, width) for width in (84, 60) for length in (450, 600, 720)]
    sheet, shop = worked(pairs, 2)
    found = flip_stops(sheet, shop)
    assert found is not None and (found.least, found.enough, found.again) == (3, 3, 1)
    sheet, shop = worked(pairs, 3)
    assert flip_stops(sheet, shop) == FlipStops(3, 3, 3, 0)


def test_a_chain_of_sizes_needs_one_stop_only() -> None:
    sheet, shop = worked([(450, 84), (450, 60), (720, 60)], 2)
    assert size_pairs(sheet) == {(84 * 10**6, 450 * 10**6), (60 * 10**6, 450 * 10**6), (60 * 10**6, 720 * 10**6)}
    assert flip_stops(sheet, shop) == FlipStops(2, 1, 1, 0)


def test_nothing_is_said_of_a_sheet_worked_station_by_station() -> None:
    shop = a_shop()
    assert flip_stops(make_plan(a_job(a_part()), shop), shop) is None
