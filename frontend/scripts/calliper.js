// Callipers that type: their first figure opens the pad of the trial piece, all of it goes into the field, Enter ends it.
import { asked } from "./guard.js";
import { beginsLength } from "./logic/typed-length.js";
import { signal } from "./signal.js";

// Milliseconds within which figures are of one measure.
const ONE_MEASURE = 300;

// `measuring` opens the pad, `page` is the run stepper. What comes blind, or where nothing is to be measured, is refused aloud, all of it.
/** @param {import("./measuring.js").Measuring} measuring @param {import("./elements/run-stepper.js").RunStepper} page */
export function followCalliper(measuring, page) {
  let refusedAt = -Infinity;
  addEventListener("keydown", (event) => {
    if (!beginsLength(event) || measuring.pad.isOpen || event.target.closest?.("input, select, textarea")) return;
    event.preventDefault();
    const goesOn = event.timeStamp - refusedAt < ONE_MEASURE;
    if (goesOn || asked() || page.blind.isBlind(event.timeStamp) || !measuring.canMeasure) {
      refusedAt = event.timeStamp;
      if (!goesOn) signal("refused");
      return;
    }
    measuring.measure(event.key);
  });
}
