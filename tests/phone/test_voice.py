"""Readings said aloud: off by default, once when a run opens and when asked, only by a voice of the phone's own."""

import pytest
from playwright.sync_api import Page, expect
from tests.phone.taps import GO, ON_SCREEN, run_address, tap

SETTLED = "run-stepper:not([data-settling])"
AGAIN = "[data-say-again]"
VOICES = """(voices) => {
  window.said = [];
  window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
  Object.defineProperty(window, 'speechSynthesis', { value: {
    getVoices: () => voices, cancel() {}, addEventListener() {},
    speak: (one) => said.push([one.text, one.voice.name]),
  } });
}"""
LOCAL = "{ name: 'own', lang: 'en-GB', localService: true }"
REMOTE = "{ name: 'service', lang: 'en-US', localService: false }"
FOREIGN = "{ name: 'other', lang: 'fi-FI', localService: true }"


def with_voices(page: Page, *voices: str) -> None:
    page.add_init_script(f"({VOICES})([{', '.join(voices)}])")


def switch_on(page: Page) -> None:
    tap(page, "shown-ways summary")
    tap(page, "local-voice button")
    tap(page, "shown-ways summary")


def test_nothing_is_said_until_it_is_switched_on_then_each_run_once_and_when_asked(running_server, phone):
    with_voices(phone, REMOTE, FOREIGN, LOCAL)
    phone.goto(run_address(running_server, "crosscut"))
    expect(phone.locator(GO)).to_be_enabled()
    assert phone.evaluate("said") == []
    expect(phone.locator(AGAIN)).to_be_hidden()
    switch_on(phone)
    first = ["Run 18. Saw, crosscut. flip stop, 450 millimetres.", "own"]
    assert phone.evaluate("said") == [first]
    phone.wait_for_selector(SETTLED)
    tap(phone, GO)  # the stop is set: the run is open still
    expect(phone.locator(f"{ON_SCREEN}[data-phase=trial]")).to_be_visible()
    assert phone.evaluate("said") == [first]
    phone.wait_for_selector(SETTLED)
    tap(phone, AGAIN)
    assert phone.evaluate("said") == [first, first]
    phone.evaluate("document.querySelector('shown-ways').choose('show', '1/32 in')")
    tap(phone, AGAIN)
    assert phone.evaluate("said.at(-1)[0]").endswith("17 inches and 23 thirty-seconds.")
    phone.reload()  # remembered on this phone
    expect(phone.locator(AGAIN)).to_be_visible()
    assert len(phone.evaluate("said")) == 1


@pytest.mark.parametrize("voices", [(REMOTE,), (FOREIGN,), ()])
def test_without_a_voice_of_its_own_the_phone_says_so_and_is_silent(running_server, phone, voices):
    with_voices(phone, *voices)
    phone.add_init_script("localStorage.setItem('stopwright voice', 'on')")
    phone.goto(run_address(running_server, "crosscut"))
    expect(phone.locator(GO)).to_be_enabled()
    tap(phone, "shown-ways summary")
    expect(phone.locator("local-voice small")).to_be_visible()
    expect(phone.locator("local-voice button")).to_be_hidden()
    assert phone.evaluate("said") == []


def test_a_phone_without_speech_works_as_before(running_server, phone):
    phone.add_init_script("delete window.speechSynthesis; delete Window.prototype.speechSynthesis")
    phone.goto(run_address(running_server, "crosscut"))
    expect(phone.locator(GO)).to_be_enabled()
