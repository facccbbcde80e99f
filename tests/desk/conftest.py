"""A laptop's page for the bench, and what its tests share."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect
from tests.conftest import a_phone


@pytest.fixture
def laptop(chromium: Browser) -> Iterator[Page]:
    """A page of 1280 × 800 that fails the test if a script throws or the console complains of a policy."""
    with a_phone(chromium, 1280, 800) as page:
        yield page


def expect_saved(page: Page) -> None:
    """Waits until the bench has everything on disk."""
    expect(page.locator("[data-say=saving]")).to_have_text("Saved")


def cell(page: Page, row: int, field: str):
    """The cell of a row (from 1) in the column of a field."""
    return page.locator(f"list-editor tr[data-row='{row - 1}'] td[data-field='{field}']")
