"""Advice on joints: bits, usual figures, and words that fit the shop."""

from collections.abc import Iterator

from tests.builders import a_part, mm
from tests.plan.joint_builders import a_bench_shop, a_frame, a_joint, a_mortiser

from stopwright.lengths import INCH, Show
from stopwright.model.joints import Side
from stopwright.plan.joinery.joint_advice import advice_for, nearest_bit, usual_joint


def words(bits: tuple[int, ...]) -> Iterator[str]:
    job, shop = a_frame(a_joint(bit=15)), a_bench_shop(a_mortiser(bits=bits))
    return (advice.words for advice in advice_for(job, job.joints[0], shop, shop.stations[0]))


def test_a_bit_is_called_on_hand_only_where_bits_are_listed() -> None:
    # a third of 20 is 6.67: 6 is 0.67 off, 8 is 1.33 off; without a list whole millimetres
    assert next(words((mm(6), mm(8), mm(15)))).startswith("Take the bit of 6 mm: of those on hand it is nearest")
    assert next(words(())).startswith("Take the bit of 6 mm: it is nearest")


def test_without_bits_an_inch_shop_is_offered_sixteenths() -> None:
    assert nearest_bit(7 * INCH // 8, (), Show.SIXTY_FOURTHS) == 4 * INCH // 16  # 14/48 in, down to 4/16


def test_a_rail_thinner_than_three_steps_still_has_a_bit() -> None:
    rail, post = a_part("B", size=(300, 40, 2)), a_part("A", size=(700, 45, 45))
    figures = usual_joint(post, rail, Side.EDGE, a_bench_shop(), a_mortiser(bits=()))
    assert figures["bit"] == mm(1)
