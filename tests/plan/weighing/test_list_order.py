"""Working down the list: every line through all stations before the next, counted by hand."""

from tests.builders import a_job, a_part, a_planer, a_saw, a_shop

from stopwright.plan.plan import make_plan
from stopwright.plan.weighing.list_order import AsListed, settings_as_listed


def listed(job, shop) -> AsListed:
    return settings_as_listed(job, shop, make_plan(job, shop))


def test_a_width_that_comes_back_after_another_is_set_again() -> None:
    # fence 60, 38, 60: three; stops 450, 300, 700 with two flip stops: three. 3 × 1 + 3 × 0.75 minutes
    parts = (a_part("A", 1, (450, 60, 22)), a_part("B", 1, (300, 38, 22)), a_part("C", 1, (700, 60, 22)))
    assert listed(a_job(*parts), a_shop(a_saw())) == AsListed(6, 3 * 1.0 + 3 * 0.75)


def test_two_flip_stops_keep_the_length_that_is_needed_soonest() -> None:
    # stops 450, 300, 450: the second stop keeps 450 standing, so two; fence 60 once
    parts = (a_part("A", 1, (450, 60, 22)), a_part("B", 1, (300, 60, 22)), a_part("C", 1, (450, 60, 22)))
    assert listed(a_job(*parts), a_shop(a_saw())).settings == 3


def test_every_line_is_planed_through_the_fewest_heights_of_its_own() -> None:
    # 22 from 5/4 (31.75): 9.75 / 1.6 → 7 heights; 20 from 4/4 (25.4): 5.4 / 1.6 → 4; then 22 again: 7
    parts = (a_part("A", 1, (450, 60, 22)), a_part("B", 1, (450, 60, 20)), a_part("C", 1, (450, 60, 22)))
    job, shop = a_job(*parts), a_shop(a_planer())
    assert listed(job, shop).settings == 7 + 4 + 7
    assert make_plan(job, shop).settings.made < 18


def test_a_job_of_one_line_costs_the_same_down_the_list() -> None:
    job, shop = a_job(a_part()), a_shop()
    assert listed(job, shop).settings == make_plan(job, shop).settings.made
