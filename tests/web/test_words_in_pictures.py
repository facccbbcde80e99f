"""Words in the pictures of runs, in millimetres and inches: none lies over a line, over wood or a tool, or outside."""

import pytest
from tests.conftest import ROOT

from stopwright.intake.job_file import read_job
from stopwright.intake.shop_file import default_shop
from stopwright.lengths import Show
from stopwright.plan.plan import make_plan
from stopwright.plan.stations.cut_before import CutBefore
from stopwright.web.drawings import draw_groups

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
    shop = default_shop()
    for name in ("ferry-tables", "library-drawers", "picture-frames"):
        job = read_job(ROOT / "fixtures" / name)
        runs = make_plan(job, shop).runs
        cut = CutBefore(runs, job)
        for show in found:
            for run in runs:
                for drawn in draw_groups(run, job, shop, show, None, cut):
                    found[show] += f'<figure title="{name} {run.number} {run.work}">{drawn}</figure>'
    return found


@pytest.mark.parametrize("show", [Show.MM, Show.SIXTEENTHS])
def test_no_word_lies_over_a_line_or_over_wood(chromium, pictures, show):
    page = chromium.new_page()
    page.set_content(f"<!doctype html><style>{STYLES}</style>{pictures[show]}")
    assert page.locator("figure").count() > 40
    assert page.evaluate(OVER) == []
    page.close()
