"""How long from a tap until it is seen, on a phone four times slower than this machine, with a job of a hundred runs.

`python -m tests.phone.tap_to_paint` prints it, in milliseconds and as multiples of a bare tap: a button on an empty
page that writes a number. Chromium tells both (Event Timing: from the touch until the next frame is shown, to 8 ms).
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import CDPSession, Page
from tests.builders import a_board, a_part
from tests.conftest import ROOT, a_chromium, serving
from tests.phone.taps import GO, ON_SCREEN, SETTLED, begin_counting, tap

from stopwright.actions.jobs.keeping import create_job
from stopwright.intake.job_file import job_to_document
from stopwright.intake.shop_file import default_shop
from stopwright.model.job import Job
from stopwright.store.log import Store
from stopwright.web.app import create_app

SLOWER = 4
WANTED_MS = 50
ROUNDS = 5
WHOLE = "footer [data-do=whole]"
NEXT_PIECE = f"{ON_SCREEN} .pieces > li:not(.full) [data-count='1'] >> nth=0"
OBSERVED = """() => {
  window.seen = [];
  new PerformanceObserver((list) => seen.push(...list.getEntries().map((one) => one.duration)))
    .observe({ type: 'event', durationThreshold: 16 });
}"""
BARE = """<!doctype html><button style="font-size: 3rem" onclick="this.textContent = ++window.count">0</button>
<script>window.count = 0</script>"""


def a_hundred_parts() -> Job:
    """A job of a hundred runs and more."""
    marks = [f"{chr(65 + number // 26)}{chr(65 + number % 26)}" for number in range(84)]
    parts = tuple(
        a_part(mark, 4, (300 + 17.5 * number, 40 + number % 9 * 6, 18 + number % 3 * 4), material="ash")
        for number, mark in enumerate(marks)
    )
    return Job("Many parts", parts, stock=(a_board(300, (3000, 180, 30), material="ash"),))


def metrics(line: CDPSession) -> dict[str, float]:
    """What the page has done so far: layouts, styles worked out anew, nodes alive."""
    return {one["name"]: one["value"] for one in line.send("Performance.getMetrics")["metrics"]}


@contextmanager
def counted(page: Page) -> Iterator[dict[str, float]]:
    """Filled at its end with how much more of everything there is than at its beginning."""
    line = page.context.new_cdp_session(page)
    line.send("Performance.enable")
    before = metrics(line)
    found: dict[str, float] = {}
    yield found
    found |= {name: value - before[name] for name, value in metrics(line).items()}
    line.detach()


def _timed(page: Page, act: Callable[[], Any]) -> float:
    page.wait_for_function(SETTLED)
    page.evaluate("() => { seen.length = 0 }")
    act()
    page.wait_for_timeout(500)  # the frame is shown, and told of
    return max(page.evaluate("seen"), default=16.0)


def measure() -> dict[str, list[float]]:
    """Milliseconds by what was tapped; `bare` is the yardstick."""
    found: dict[str, list[float]] = {}
    with TemporaryDirectory() as folder, Store.open(Path(folder, "store.db")) as store:
        job = create_job(store, job_to_document(a_hundred_parts()), "bench")
        app = create_app(store, default_shop(), ROOT / "frontend", address="http://192.168.1.5:8765")
        with serving(app) as address, a_chromium() as browser:
            context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
            bare, page = context.new_page(), context.new_page()
            bare.set_content(BARE)
            page.goto(f"{address}/jobs/{job}/runs")
            page.wait_for_selector(f"{GO}:enabled", timeout=120_000)
            for one in (bare, page):
                one.evaluate(OBSERVED)
                context.new_cdp_session(one).send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
            bare.bring_to_front()
            found["bare"] = [_timed(bare, bare.locator("button").tap) for _ in range(4 * ROUNDS)]
            page.bring_to_front()
            tap(page, GO)
            for _ in range(ROUNDS):
                begin_counting(page)
                for name, where in (
                    *[("+1", NEXT_PIECE)] * 3,
                    ("undo", f"{ON_SCREEN} [data-do=undo]"),
                    ("all, asks", WHOLE),
                ):
                    found.setdefault(name, []).append(_timed(page, partial(tap, page, where)))
                found.setdefault("all cut, on to the next run", []).append(_timed(page, partial(tap, page, WHOLE)))
                found.setdefault("to the list", []).append(_timed(page, partial(tap, page, "footer .all")))
                found.setdefault("open a run", []).append(_timed(page, partial(tap, page, GO)))
    return found


if __name__ == "__main__":
    times = measure()
    yardstick = median(times["bare"])
    print(f"median of {ROUNDS}, {SLOWER} times slower; a bare tap {yardstick:g} ms; wanted {WANTED_MS} ms")
    for name, all_of_it in times.items():
        print(f"{name}: {median(all_of_it):g} ms, {median(all_of_it) / yardstick:.2g} bare taps")
