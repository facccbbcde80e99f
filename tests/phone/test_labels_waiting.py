"""Labels that take a while: how many are made is said, nobody waits without a word, and the PDF comes by itself."""

import threading
from collections.abc import Iterator

import httpx
import pytest
from playwright.sync_api import expect

from stopwright.actions.jobs import labelling
from stopwright.paper.labels import label_sheet_pdf
from stopwright.web.pieces import labels

SOON = 30.0


@pytest.fixture
def held(monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """Labels are made so far as 21, and on when this is set."""
    go_on = threading.Event()

    def slowly(them, grid, address, start, reached):
        def tell(at: int) -> None:
            reached(at)
            assert go_on.wait(SOON)

        return label_sheet_pdf(them, grid, address, start, tell)

    monkeypatch.setattr(labelling, "label_sheet_pdf", slowly)
    monkeypatch.setattr(labels, "PATIENCE", 0.05)
    yield go_on
    go_on.set()


def test_the_page_says_how_many_labels_are_made_and_opens_the_pdf(running_server, phone, held) -> None:
    phone.goto(f"{running_server.address}/jobs/{running_server.job}/labels?start=2")
    phone.click("button.go")
    expect(phone.locator("h2")).to_have_text("Making 66 labels.")
    expect(phone.locator("[data-say=made]")).to_have_text("20 of 66 are made")  # the first sheet lacks one
    assert phone.locator("progress").evaluate("(bar) => [bar.value, bar.max]") == [20, 66]
    with phone.expect_response(lambda answer: answer.headers.get("content-type") == "application/pdf"):
        held.set()


def test_whoever_takes_no_page_waits_for_the_pdf_itself(running_server, held) -> None:
    held.set()
    pdf = httpx.post(f"{running_server.address}/jobs/{running_server.job}/labels.pdf", data={"start": "3"})
    assert pdf.headers["content-type"] == "application/pdf" and pdf.content.startswith(b"%PDF")
