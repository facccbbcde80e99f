"""Panels of boards at the bench: every glue run takes its own strips, and what it gives does not go to the next one."""

import pytest

from stopwright.actions.jobs.keeping import create_job

TOPS = {"mark": "A", "name": "Top", "quantity": 2, "length": 900, "width": 300, "thickness": 20, "made": "boards"}
WIDTHS = (140, 150, 160, 120, 130, 110, 100, 90, 170)


@pytest.fixture
def tops(floor) -> str:
    stock = [{"kind": "board", "quantity": 1, "length": 1000, "width": one, "thickness": 27} for one in WIDTHS]
    return create_job(floor.store, {"name": "Two benches", "units": 2, "part": [TOPS], "stock": stock}, "bench")


def test_a_panel_is_glued_after_its_own_strips_and_goes_to_the_planer(floor, tops) -> None:
    page = floor.bench.get(f"/jobs/{tops}/runs?whole").text
    glued = [part.split("</template>")[0] for part in page.split("<template")[1:] if "From the left A" in part]
    assert len(glued) == 2
    for nth, run in enumerate(glued, start=1):
        assert f"From the left A{nth}.1, A{nth}.2" in run
        assert "from run 7, jointer" in run and "then to run 10, planer" in run


def test_the_layouts_show_every_strip_on_its_board(floor, tops) -> None:
    page = floor.bench.get(f"/jobs/{tops}/layouts").text
    assert all(f"A{nth}.{place}" in page for nth in (1, 2) for place in (1, 2)) and "0 rips, 1 crosscut" in page
