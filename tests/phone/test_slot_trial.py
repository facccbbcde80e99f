"""The first piece of a mortise: what a person measures at the slot leads back to the stops."""

from playwright.sync_api import expect
from tests.phone.taps import GO, ON_SCREEN, PHASE, measure, run_address, tap

from stopwright.actions.floor.working import job_state
from stopwright.lengths import MM


def test_a_slot_is_measured_from_the_end_of_the_piece_and_puts_the_travel_right(running_server, phone):
    """Travel from 332 with a bit of 8 and the end stop at 0: the slot starts at 328. It starts at 329: back by 1."""
    phone.goto(run_address(running_server, "mortise"))
    for _ in range(6):
        tap(phone, GO)
    expect(phone.locator(PHASE.format("trial"))).to_be_visible()
    tap(phone, GO)
    pad = phone.locator("number-pad")
    expect(pad.locator("option")).to_have_text(
        [
            "wall between slot and the side that lay down",
            "depth of the slot",
            "start of the slot from the marked end",
            "end of the slot from the marked end",
        ]
    )
    pad.locator("select").select_option(index=2)
    expect(pad.locator(".wanted")).to_have_text("wanted: 328 mm")
    for key in "329":
        tap(phone, f'number-pad .keys button[value="{key}"]')
    tap(phone, "number-pad .enter")
    trial = phone.locator(f"{ON_SCREEN} .trial")
    expect(trial).to_contain_text(
        "start of the slot from the marked end: 329 mm, 1 mm over. Move “travel from” to 331 mm"
    )
    expect(phone.locator(f"{ON_SCREEN} [data-axis='travel from'] .heard")).to_have_text("331 mm")
    for typed in ("10", "26", "328", "350"):  # 14 − 8 / 2; as it is; 332 − 8 / 2; 346 + 8 / 2
        measure(phone, typed)
        expect(trial).to_contain_text("Proved")
    expect(phone.locator(ON_SCREEN)).to_have_attribute("data-phase", "count")
    (state,) = job_state(running_server.store, running_server.job).runs.values()
    assert state.readings["travel from"] == 331 * MM and state.proved
