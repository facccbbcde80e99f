"""Hardware at the bench: typed and saved, shown with what to buy, on the sheet, at the rack and at the dry fit."""

from stopwright.actions.jobs.keeping import job_document

ROWS = [{"name": "Knob", "count": "2 pcs", "note": "brass"}, {"name": "Felt pad", "count": "4"}]


def save(floor, rows):
    base = floor.bench.get(f"/jobs/{floor.job}/version").json()["version"]
    answer = floor.bench.post(f"/jobs/{floor.job}/hardware/save", json={"rows": rows, "base": base})
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_hardware_is_typed_saved_and_shown_wherever_it_is_needed(floor):
    assert save(floor, ROWS)["faults"] == []
    kept = job_document(floor.store, floor.job).document["hardware"]
    assert kept == [{"name": "Knob", "count": 2, "note": "brass"}, {"name": "Felt pad", "count": 4}]
    assert floor.bench.get(f"/jobs/{floor.job}/hardware/now").json()["rows"] == [ROWS[0] | {"count": "2"}, ROWS[1]]
    for page, words in (
        ("hardware", "Besides wood"),
        ("wood", "12 × Knob (2 a unit): brass"),
        ("wood/outlook", "24 × Felt pad"),
        ("rack", "24 × Felt pad (4 a unit)"),
        ("sheet", "<b>12</b> Knob"),
        ("glue-up/1/dry-fit", "<li>4 × Felt pad</li>"),
    ):
        assert words in floor.bench.get(f"/jobs/{floor.job}/{page}").text, page


def test_a_fault_in_the_hardware_is_said_at_its_cell_and_led_to_from_elsewhere(floor):
    answer = save(floor, [ROWS[0], {"name": "Screw", "count": "-3"}])
    (fault,) = answer["faults"]
    assert (fault["table"], fault["row"], fault["field"]) == ("hardware", 1, "count")
    assert "1 or more" in fault["next_step"]
    page = floor.bench.get(f"/jobs/{floor.job}/sheet").text
    assert f'href="/jobs/{floor.job}/hardware"' in page and "Hardware Screw (line 2)" in page


def test_a_job_without_hardware_says_nothing_of_it(floor):
    assert "Besides wood" not in floor.bench.get(f"/jobs/{floor.job}/sheet").text
    assert "Besides wood" not in floor.bench.get(f"/jobs/{floor.job}/glue-up/1/dry-fit").text
