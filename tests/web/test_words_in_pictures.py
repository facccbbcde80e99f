"""Words in the pictures of runs, in millimetres and inches: none lies over a line, over wood or a tool, or outside."""

from fractions import Fraction

import pytest
from tests.builders import mm
from tests.conftest import ROOT

from stopwright.intake.job_file import read_job
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.model.job import Job
from stopwright.model.joints import Side
from stopwright.model.parts import Part
from stopwright.model.shaping import Moulding, Pass
from stopwright.plan.operations.comb import Comb
from stopwright.plan.operations.splay import Splay
from stopwright.plan.operations.template import Template
from stopwright.plan.operations.tongue import Tongue
from stopwright.plan.plan import make_plan
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.plan.stations.flip_stops_up import flip_stops_up
from stopwright.web.drawings import draw_groups

FIXTURES = ("ferry-tables", "library-drawers", "picture-frames", "canvas-stretchers")
OTHER_CUTS = Job(
    "other cuts",
    tuple(Part(mark, "Side", 4, mm(300), mm(80), mm(16)) for mark in "ABCDEF"),
    mouldings=(Moulding("P1", ("C",), (Pass("cove 12", mm(8), mm(12)),), (Side.EDGE, Side.MARKED_END)),),
    cuts=(
        Comb(mark="C1", parts=("A", "B"), cutter=mm(3.2)),
        Template(mark="V1", parts=("D",), edges=(Side.EDGE,), cutter="cove 12", height=mm(5)),
        Splay(mark="Y1", parts=("E",), across=Fraction(8), through=Fraction(5)),
        Tongue(mark="T1", parts=("F",), grooved=("F",), edge=Side.EDGE, at=mm(5), width=mm(5), depth=mm(6)),
    ),
)
STYLES = "".join(path.read_text() for path in sorted((ROOT / "frontend" / "styles").glob("*.css")))
OVER = """() => [...document.querySelectorAll('figure')].flatMap((figure) => {
  const svg = figure.querySelector('svg'), view = svg.viewBox.baseVal, spot = svg.createSVGPoint();
  return [...svg.querySelectorAll('text')].flatMap((words) => {
    const box = words.getBBox(), left = box.x + 1, right = box.x + box.width - 1;
    const top = box.y + 4, bottom = box.y + box.height - 4;  // the letters themselves
    const inside = (p) => p.x > left && p.x < right && p.y > top && p.y < bottom;
    const over = [...svg.querySelectorAll('path, circle')].filter((shape) => {
      for (let at = 0; at <= shape.getTotalLength(); at += 1) if (inside(shape.getPointAtLength(at))) return true;
      [spot.x, spot.y] = [(left + right) / 2, (top + bottom) / 2];
      return getComputedStyle(shape).fill !== 'none' && shape.isPointInFill(spot);
    });
    const outside = box.x < -1 || right > view.width || box.y < -2 || bottom > view.height;
    return over.map((shape) => `${figure.title}: ${words.textContent} over ${shape.getAttribute('class')}`)
      .concat(outside ? [`${figure.title}: ${words.textContent} outside`] : []);
  });
})"""


@pytest.fixture(scope="module")
def pictures():
    """By how lengths are shown, the pictures of all runs that cut into pieces."""
    found = dict.fromkeys((Show.MM, Show.SIXTEENTHS), "")
    shop, works = default_shop(), set()
    for job in (*(read_job(ROOT / "fixtures" / name) for name in FIXTURES), OTHER_CUTS):
        runs = make_plan(job, shop).runs
        cut = CutBefore(runs, job)
        flips = flip_stops_up(runs, shop)
        works |= {run.work for run in runs}
        for show in found:
            for run in runs:
                for drawn in draw_groups(run, job, shop, show, flips.get(run.number), cut):
                    found[show] += f'<figure title="{job.name} {run.number} {run.work}">{drawn}</figure>'
    assert works >= {"comb", "template", "mould", "splay", "mitre", "tongue", "groove", "rebate", "bore", "taper"}
    return found


@pytest.mark.parametrize("show", [Show.MM, Show.SIXTEENTHS])
def test_no_word_lies_over_a_line_or_over_wood(chromium, pictures, show):
    page = chromium.new_page()
    page.set_content(f"<!doctype html><style>{STYLES}</style>{pictures[show]}")
    assert page.locator("figure").count() > 40
    assert page.evaluate(OVER) == []
    page.close()
