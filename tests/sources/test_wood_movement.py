"""Wood Handbook FPL-GTR-190, Eq. 13-2 and Table 13-5; a magazine's worked board of red alder."""

from fractions import Fraction

import pytest

from stopwright.errors import StopwrightError
from stopwright.lengths import INCH, MM
from stopwright.model.parts import Rings
from stopwright.plan.timber.movement import SPECIES, movement, species_of

# Table 13-5, radial / tangential (S).
TABLE = {
    "cherry": (".00126", ".00248"),
    "walnut": (".00190", ".00274"),
    "sugar maple": (".00165", ".00353"),
    "red oak": (".00158", ".00369"),
    "white oak": (".00180", ".00365"),
    "beech": (".00190", ".00431"),
    "white ash": (".00169", ".00274"),
    "yellow birch": (".00256", ".00338"),
    "red alder": (".00151", ".00256"),
}


def test_the_handbook_s_board_of_232_mm_grows_by_1_7_mm():
    # Wood Handbook, example to Eq. 13-2 (S): 232 mm, C = .00245, 8 % to 11 % -> 1.7 mm, 233.7 mm
    grown = movement(232 * MM, Fraction(".00245"), Fraction(8), Fraction(11))
    assert round(grown / MM, 1) == 1.7
    assert round((232 * MM + grown) / MM, 1) == 233.7


def test_eight_inches_of_red_alder_move_by_1248_ten_thousandths():
    # 8 in, .0026, 6 % -> .1248 in (S, magazine)
    assert movement(8 * INCH, Fraction(".0026"), Fraction(6), Fraction(12)) == Fraction("0.1248") * INCH


def test_drying_shrinks_by_as_much_as_wetting_grows():
    there = movement(300 * MM, Fraction(".00274"), Fraction(8), Fraction(12))
    assert movement(300 * MM, Fraction(".00274"), Fraction(12), Fraction(8)) == -there == -3_288_000


@pytest.mark.parametrize(("start", "end"), [(5, 10), (8, 15), ("5.9", 8)])
def test_outside_6_to_14_percent_the_equation_does_not_hold(start, end):
    with pytest.raises(StopwrightError, match="outside"):
        movement(100 * MM, Fraction(".002"), Fraction(start), Fraction(end))


def test_the_coefficients_are_those_of_the_table():
    radial_and_tangential = {one.name: (one.coefficient(Rings.QUARTER), one.coefficient(Rings.FLAT)) for one in SPECIES}
    assert radial_and_tangential == {name: tuple(map(Fraction, pair)) for name, pair in TABLE.items()}


def test_a_material_names_its_species_only_where_it_can_mean_but_one():
    assert species_of("european Beech").name == "beech"
    assert species_of("maple").name == "sugar maple"
    assert species_of("ash plywood").name == "white ash"
    assert species_of("oak") is species_of("pine") is species_of("") is None
