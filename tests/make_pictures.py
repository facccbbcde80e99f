"""Makes the README's pictures from the running program: `python -m tests.make_pictures`."""

from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image
from playwright.sync_api import Page

from stopwright.actions.jobs.planning import bring_job, plan_for
from stopwright.actions.jobs.shipped import demo_jobs, frontend
from stopwright.intake.shop_file import default_shop
from stopwright.store.log import Store
from stopwright.web.app import create_app
from tests.conftest import a_chromium, serving

PICTURES = Path(__file__).parent.parent / "fixtures" / "pictures"
COLOURS = 32
"""Few colours keep the pictures small; the pages have hardly more."""


def main() -> None:
    """Writes phone.png (the first crosscut) and layout.png (two boards)."""
    PICTURES.mkdir(exist_ok=True)
    with TemporaryDirectory() as folder, Store.open(Path(folder) / "pictures.sqlite") as store:
        job = bring_job(store, demo_jobs()[0])
        sheet = plan_for(store, job, default_shop()).sheet
        crosscut = next(run.number for run in sheet.runs if run.work == "crosscut")
        app = create_app(store, default_shop(), frontend())
        with serving(app) as address, a_chromium() as browser:
            phone = browser.new_page(viewport={"width": 390, "height": 844})
            phone.goto(f"{address}/jobs/{job}/runs/{crosscut}")
            _take(phone, PICTURES / "phone.png")
            bench = browser.new_page(viewport={"width": 1100, "height": 640})
            bench.goto(f"{address}/jobs/{job}/layouts")
            _take(bench, PICTURES / "layout.png")


def _take(page: Page, path: Path) -> None:
    page.wait_for_timeout(800)
    page.screenshot(path=path)
    with Image.open(path) as picture:
        picture.convert("RGB").quantize(COLOURS).save(path, optimize=True)


if __name__ == "__main__":
    main()
