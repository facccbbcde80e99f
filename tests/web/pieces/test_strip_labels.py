"""Labels for the strips of glued panels: asked for beside those of the pieces, or not."""

from tests.paper.pixels import page_count, page_words

from stopwright.actions.jobs.keeping import create_job

HTML = {"accept": "text/html"}
TOPS = {"mark": "A", "name": "Top", "quantity": 2, "length": 900, "width": 600, "thickness": 20, "made": "panel"}
RAIL = {"mark": "B", "name": "Rail", "quantity": 4, "length": 400, "width": 60, "thickness": 20}


def test_strips_have_labels_where_they_are_asked_for(floor) -> None:
    job = create_job(floor.store, {"name": "Two benches", "units": 2, "part": [TOPS, RAIL]}, "bench")
    plain = floor.bench.get(f"/jobs/{job}/labels", headers=HTML).text
    assert "6 labels" in plain and "labels for their 12 strips too" in plain
    asked = floor.bench.get(f"/jobs/{job}/labels?strips=true", headers=HTML).text
    assert "18 labels" in asked and "A-01 1/6" in asked and 'name="strips" value="true" checked' in asked
    pdf = floor.bench.post(
        f"/jobs/{job}/labels.pdf", data={"sheet": "A4", "start": "1", "strips": "true"}, headers=HTML
    )
    words = " ".join(page_words(pdf.content, page) for page in range(page_count(pdf.content)))
    assert all(f"A-0{top} {nth}/6" in words for top in (1, 2) for nth in range(1, 7)) and "B-04" in words


def test_strips_of_the_chosen_panels_only_and_none_without_panels(floor) -> None:
    job = create_job(floor.store, {"name": "Two benches", "units": 2, "part": [TOPS, RAIL]}, "bench")
    one = floor.bench.get(f"/jobs/{job}/labels?strips=true&only=1", headers=HTML).text
    assert "7 labels" in one and "A-02 1/6" in one and "A-01 1/6" not in one
    assert "strips too" not in floor.bench.get(f"/jobs/{floor.job}/labels", headers=HTML).text
