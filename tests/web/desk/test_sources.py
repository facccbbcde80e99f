"""The page of sources: every caution and every figure, none but the ones that are calculated with."""

import html
import re
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages
from types import ModuleType

import pytest

import stopwright.plan
from stopwright.actions.shop.sources import all_sections, sections
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import MM, Show
from stopwright.model.stations import Limits, TenonRules
from stopwright.plan.operations.caution import Caution
from stopwright.plan.operations.known import CAUTIONS
from stopwright.plan.sourcing.sources import SURE, Figure, in_words
from stopwright.plan.timber.movement import SPECIES

HTML = {"accept": "text/html"}
FIGURES = [figure for section in sections() for figure in section.figures]
LENGTH = re.compile(r"^([A-Z][A-Z_]+): Nm = ", re.M)


def words_of(page: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


@pytest.mark.parametrize("show", [Show.MM, Show.SIXTY_FOURTHS])
def test_every_caution_and_every_figure_is_on_the_page(floor, show):
    floor.bench.cookies.set("show", str(show).replace(" ", "%20").replace("/", "%2F"))
    page = words_of(floor.bench.get("/sources", headers=HTML).text)
    for caution in CAUTIONS:
        assert " ".join(caution.words(show).split()) in page
        assert caution.source[1:] in page
    for figure in (figure for section in sections(show.unit) for figure in section.figures):
        assert " ".join(figure.said(show).split()) in page, figure
        assert figure.source[1:] in page and figure.subject in page, figure
    for words in SURE.values():
        assert words in page


def test_a_figure_has_no_other_value_than_the_one_calculated_with():
    for figure in FIGURES:
        if isinstance(figure.owner, ModuleType):
            module, name = figure.at.rsplit(".", 1)
            assert figure.value is getattr(import_module(module), name), figure.at
        else:
            assert getattr(figure.owner, figure.name) == figure.value
    limits, tenon = Limits(), TenonRules()
    said = {figure.at: figure.value for figure in FIGURES}
    assert said["stopwright.model.stations.Limits.slot_wall"] == limits.slot_wall == 5 * MM
    assert said["stopwright.model.stations.TenonRules.clearance"] == tenon.clearance
    shop = default_shop()
    assert (shop.limits, shop.tenon) == (limits, tenon)  # what the page says of both is what ships


def test_a_changed_constant_changes_the_page(floor, monkeypatch):
    from stopwright.plan.joinery import mortise_checks

    monkeypatch.setattr(mortise_checks, "LEAST_TO_CLAMP", 123 * MM)
    assert "123 mm, then a warning" in words_of(floor.bench.get("/sources", headers=HTML).text)


def test_every_length_that_plans_are_made_with_has_a_source():
    registered = {figure.at for figure in FIGURES}
    found = set()
    for module in walk_packages(stopwright.plan.__path__, "stopwright.plan."):
        source = Path(str(import_module(module.name).__file__)).read_text()
        found |= {f"{module.name}.{name}" for name in LENGTH.findall(source)}
    assert found - registered == set()


def test_every_default_of_the_limits_and_the_tenons_has_a_source():
    registered = {figure.at for figure in FIGURES}
    for rules in (Limits, TenonRules):
        for name in rules.__dataclass_fields__:
            assert f"stopwright.model.stations.{rules.__name__}.{name}" in registered, name


def test_every_species_has_its_coefficients_on_the_page():
    said = {line.subject.lower(): line.words for _, lines in all_sections(Show.MM) for line in lines}
    for species in SPECIES:
        assert f"{float(species.tangential):.5f} tangential" in said[species.name]


def test_how_sure_is_spelled_out_and_only_known_letters_are_used():
    assert in_words("S/C") == "seen in the source itself; seen in a secondary copy"
    told: tuple[Figure | Caution, ...] = (*FIGURES, *CAUTIONS)
    for one in told:
        assert set(one.sure.split("/")) <= set(SURE), one
        assert one.source.strip()


def test_no_figure_from_memory_is_all_that_a_caution_stands_on():
    assert all(caution.sure != "M" for caution in CAUTIONS)


def test_a_length_is_said_as_the_shop_shows_it_beside_the_round_figure_that_it_is():
    figure = Figure(Limits(), "slot_wall", "Wall", "{0} or more", "practice", "P")
    assert (figure.said(Show.MM), figure.said(Show.SIXTEENTHS)) == ("5 mm or more", "5 mm (about 3/16 in) or more")
