"""Random use in a real browser: anything clicked, anything typed, at the bench and on a phone's small screen.

Nothing may break down (no answer of 500 or more, no error thrown, none in the console) and memory may not grow.
It takes about a quarter of a minute; the environment variable STOPWRIGHT_WALK_MINUTES=60 makes it an hour.
Every lap begins anew, in a shop of its own; the same lap takes the same steps as far as the pages answer alike.
"""

import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from time import monotonic

import pytest
from playwright.sync_api import Browser, ElementHandle, Error, Page, Response, Route
from tests.conftest import ROOT, serving

from stopwright.actions.jobs.keeping import create_job
from stopwright.intake.job_file import job_to_document, read_job
from stopwright.intake.shop_file import default_shop
from stopwright.store.log import Store
from stopwright.web.app import create_app

SECONDS = 60 * float(os.environ.get("STOPWRIGHT_WALK_MINUTES", "0.25")) / 2
"""For each of the two screens."""
LAP = 60.0
GROWTH = 3_000_000
"""Bytes that a browser's own bookkeeping may come to; a page that holds on to what it showed passes it soon."""

BENCH = ("", "jobs/1/parts", "jobs/1/joints", "jobs/1/wood", "jobs/1/sheet", "jobs/1/choices", "jobs/1/pieces",
         "jobs/1/layouts", "jobs/1/paper", "jobs/2/parts", "import", "shop", "shelf", "memory", "phones",
         "sources")  # fmt: skip
PHONE = ("", "jobs/1/runs", "jobs/1/runs/2", "jobs/1/runs/26", "jobs/1/sort", "jobs/1/glue-up", "jobs/1/glue-up/1/1",
         "jobs/1/glue-up/1/dry-fit", "jobs/1/remake/x", "jobs/1/labels", "scan", "jobs/2/runs")  # fmt: skip
TYPED = ("450", "17 3/4", "1/128", "abc", "-5", "0", "9" * 60, "<b>x</b>", "ash", "A", "²", "🪑", " ", "38,2", "1e9")
KEYS = ("Tab", "Enter", "Escape", "ArrowDown", "ArrowUp", "Delete", "Control+z", "Alt+Enter", "Control+Enter", "Space")
REACHABLE = "a[href], button, summary, input:not([type=hidden]):not([type=file]), select, textarea, td[data-column]"
ONE_OF = """([reachable, place]) => {
    const all = [...document.querySelectorAll(reachable)].filter((one) => one.checkVisibility() && !one.disabled);
    return all[Math.floor(place * all.length)];
}"""
ABOUT = "one => [one.localName, one.type || '', (one.name || one.textContent).trim().slice(0, 40)]"
_REFUSED = re.compile(r"the server responded with a status of 4\d\d")


@dataclass
class Walk:
    """One walk: what was done, and what broke."""

    page: Page
    at: str = ""
    chance: Random = field(default_factory=Random)
    done: list[str] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)

    def watch(self) -> None:
        """Notes whatever breaks from now on."""
        self.page.on("pageerror", lambda error: self.broken.append(f"thrown: {error}"))
        self.page.on("console", lambda said: self._heard(said.type, said.text))
        self.page.on("response", self._answered)
        self.page.on("dialog", lambda dialog: dialog.accept())
        self.page.context.on("page", lambda other: other.close())
        self.page.context.route(re.compile(r"\.pdf|/files/|/shop/file"), self._kept_out)

    def step(self, starts: tuple[str, ...]) -> None:
        """Does one thing that a person could do here; now and then goes somewhere else."""
        try:
            thing = self.page.evaluate_handle(ONE_OF, [REACHABLE, self.chance.random()]).as_element()
            if not thing or self.chance.random() < 0.1 or not self.page.url.startswith(self.at):
                self.open(self.chance.choice(starts))
            else:
                self._use(thing)
        except Error as error:  # what was looked at has gone meanwhile, or lies below something else
            self.done.append(f"not done: {str(error).splitlines()[0]}")
        assert not self.broken, "\n".join([*self.broken, "after", *self.done[-20:]])

    def open(self, where: str) -> None:
        """Opens a page by its address."""
        self.done.append(f"open /{where}")
        try:
            self.page.goto(f"{self.at}/{where}")
        except Error:  # the last click was still on its way to another page
            self.page.wait_for_load_state()
            self.page.goto(f"{self.at}/{where}")

    def _use(self, thing: ElementHandle) -> None:
        kind, sort, name = thing.evaluate(ABOUT)
        if kind == "select":
            thing.select_option(index=self.chance.randrange(thing.evaluate("one => one.options.length")), timeout=500)
        elif kind == "td" or (kind in ("input", "textarea") and sort not in ("checkbox", "radio", "submit")):
            text = self.chance.choice(TYPED)
            thing.click(timeout=500)
            self.page.keyboard.insert_text(text) if kind != "td" else self.page.keyboard.type(text)
            name += f" “{text}”"
        else:
            thing.click(timeout=500, no_wait_after=True)
        self.done.append(f"{kind} {sort} {name}")
        if self.chance.random() < 0.3:
            key = self.chance.choice(KEYS)
            self.page.keyboard.press(key)
            self.done.append(f"key {key}")

    def _heard(self, kind: str, text: str) -> None:
        if kind == "error" and not _REFUSED.search(text):
            self.broken.append(f"console: {text}")

    def _answered(self, answer: Response) -> None:
        if answer.status >= 500:
            self.broken.append(f"{answer.request.method} {answer.url} {answer.request.post_data}: {answer.status}")

    def _kept_out(self, route: Route) -> None:
        """Papers and files are asked for, and looked at no further: the walk stays where it is."""
        answer = route.fetch()
        if answer.status >= 500:
            self.broken.append(f"{route.request.url}: {answer.status}")
        route.fulfill(status=204)


@contextmanager
def a_shop(folder: Path) -> Iterator[str]:
    """The address of a program with the stools and a faulty job in it."""
    folder.mkdir()
    with Store.open(folder / "shop.db") as store:
        create_job(store, job_to_document(read_job(ROOT / "fixtures" / "bakery-stools")), "bench")
        create_job(store, {"name": "Faulty", "part": [{"name": "Leg", "length": "abc"}]}, "bench")
        app = create_app(store, default_shop(), ROOT / "frontend", address="http://192.168.1.5:8765")
        with serving(app) as address:
            yield address


@contextmanager
def a_screen(chromium: Browser, width: int) -> Iterator[Page]:
    """A page as wide as this."""
    context = chromium.new_context(viewport={"width": width, "height": 800}, has_touch=width < 500)
    try:
        yield context.new_page()
    finally:
        context.close()


def used_by(page: Page) -> float:
    """Bytes that the page's scripts hold once everything let go of is gone."""
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable")
    for _ in range(3):
        session.send("HeapProfiler.collectGarbage")
    metrics = {one["name"]: one["value"] for one in session.send("Performance.getMetrics")["metrics"]}
    session.detach()
    return float(metrics["JSHeapUsedSize"])


@pytest.mark.parametrize(("starts", "width"), [(BENCH, 1280), (PHONE, 390)], ids=["bench", "phone"])
def test_whatever_is_clicked_and_typed_nothing_breaks(
    chromium: Browser, tmp_path: Path, starts: tuple[str, ...], width: int
) -> None:
    until, lap, steps = monotonic() + SECONDS, 0, 0
    with a_screen(chromium, width) as page:
        page.set_default_timeout(5000)
        walk, before = Walk(page), 0.0
        walk.watch()
        while monotonic() < until or not steps:
            with a_shop(tmp_path / f"lap-{lap}") as at:
                walk.at, walk.chance = at, Random(lap)
                walk.open(starts[1])
                before = before or used_by(page)
                ends = min(until, monotonic() + LAP)
                while monotonic() < ends:
                    walk.step(starts)
                    steps += 1
                walk.open(starts[1])
                assert used_by(page) - before < GROWTH, f"after lap {lap}"
                page.goto("about:blank")
            lap += 1
    assert steps > 5
