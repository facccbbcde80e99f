"""The glue-up sheet: stages in order, clamps and open time, faults first, no more than fits."""

from tests.builders import a_job, a_part
from tests.paper.pixels import page_count, page_words
from tests.plan.assembling.test_assembly import a_lattice
from tests.plan.joint_builders import a_frame, a_joint

from stopwright.lengths import Show
from stopwright.model.stations import Glue
from stopwright.paper.glue_up import glue_up_pdf
from stopwright.paper.pdf import LETTER

GLUE = Glue("hide glue", 3, 120)


def words(pdf: bytes) -> str:
    return " ".join(" ".join(page_words(pdf, page) for page in range(page_count(pdf))).split())


def test_joints_come_before_clamps_and_the_open_time_stands_at_the_top() -> None:
    said = words(glue_up_pdf(a_frame(a_joint("J1")), glues=(GLUE,)))
    order = [said.index(one) for one in ("stays open for 3 min", "Stage 1", "J1: B part B", "clamp 1, 490 mm")]
    assert order == sorted(order)


def test_the_glues_of_the_shop_are_told_where_the_job_names_none_and_else_only_the_one_it_names() -> None:
    fish = Glue("fish glue", 12, 300)
    both = words(glue_up_pdf(a_frame(a_joint("J1")), glues=(GLUE, fish)))
    assert "names no glue" in both and "hide glue" in both and "fish glue" in both
    one = words(glue_up_pdf(a_frame(a_joint("J1"), glue="fish glue"), glues=(GLUE, fish)))
    assert "fish glue. It stays open for 12 min" in one and "hide glue" not in one


def test_without_a_known_glue_the_bottle_is_named() -> None:
    assert "read it on the bottle" in words(glue_up_pdf(a_frame(a_joint("J1"), glue="casein")))
    assert "casein" in words(glue_up_pdf(a_frame(a_joint("J1"), glue="casein")))


def test_lengths_are_shown_as_the_shop_shows_them_on_letter_paper_too() -> None:
    said = words(glue_up_pdf(a_frame(a_joint("J1")), Show.SIXTEENTHS, (GLUE,), LETTER))
    assert "19 5/16 in" in said  # 490 mm = 19.29 in


def test_what_cannot_be_put_together_is_said_instead_of_stages() -> None:
    said = words(glue_up_pdf(a_lattice()))
    assert "no order of glue-up closes these joints" in said and "no order of glue-up to print" in said


def test_a_job_without_joints_and_one_of_many_units_still_print() -> None:
    assert page_count(glue_up_pdf(a_job(a_part()))) == 1
    many = glue_up_pdf(a_frame(a_joint("J1"), posts=80, rails=40, units=40), glues=(GLUE,))
    assert "1 to 12 from the left" in words(many)
