// What is counted at the run on the screen: by thumb, by pedal, all at once; spoiled ones, and taps taken back.
import { asked, sure } from "./guard.js";
import { lineOf } from "./logic/pedal.js";
import { missing, undoable, wholeWords, whose } from "./logic/phase.js";
import { UNTOUCHED } from "./logic/standing.js";
import { partOf } from "./logic/tap.js";
import { signal } from "./signal.js";

export class Counting {
  /** @type {import("./elements/run-stepper.js").RunStepper} */
  #page;
  #last = new Map(); // the line tapped last, by the run's key

  // `page` is the run stepper: it knows the run on the screen and how all runs stand, and sends the taps.
  constructor(page) {
    this.#page = page;
  }

  get #state() {
    return this.#page.states[this.#page.run.key] ?? UNTOUCHED;
  }

  #missing() {
    return missing(this.#page.run, this.#state);
  }

  cut(button) {
    const { slot } = button.closest("[data-slot]").dataset;
    const piece = this.#page.run.pieces.find((one) => one.slot === slot);
    const left = this.#missing().find((one) => one.slot === slot)?.count ?? 0;
    if (!piece || !left) return;
    const all = button.dataset.count === "all";
    if (all && left === piece.need && !sure(button, `all ${left}? tap again`)) return;
    this.#count(slot, all ? left : Math.min(Number(button.dataset.count), left));
    signal("counted");
  }

  #count(slot, count) {
    const { run } = this.#page;
    this.#last.set(run.key, slot);
    this.#page.send("piece cut", { run: run.key, ...partOf(slot), count });
  }

  // The pedal counts one, of the line tapped last; blind, or when there is nothing to count, it counts nothing and says so.
  pressed(at) {
    const line = this.line;
    if (!line || this.#page.pad.isOpen || this.#page.neededBox.isOpen || asked() || this.#page.blind.isBlind(at)) return signal("refused");
    this.#count(line.slot, 1);
    return signal("done");
  }

  // One of the line that the far view shows.
  one() {
    const { line } = this;
    if (!line) return;
    this.#count(line.slot, 1);
    signal("counted");
  }

  // The line that a press counts; undefined when nothing is to be counted now.
  get line() {
    const { run } = this.#page;
    return run && this.#page.phase() === "count" ? lineOf(this.#missing(), this.#last.get(run.key)) : undefined;
  }

  // All that is missing, and the run is done: one tap that asks, whatever number of lines the run has.
  whole(button) {
    const { run } = this.#page;
    if (!sure(button, wholeWords(run, this.#state))) return;
    this.#page.finish(this.#missing().map(({ slot, count }) => ["piece cut", { run: run.key, ...partOf(slot), count }]));
  }

  spoil(button) {
    const { slot } = button.closest("[data-slot]").dataset;
    const { run } = this.#page;
    if (!sure(button, "spoiled? tap again")) return;
    const counted = (this.#state.cut[slot] ?? 0) > 0;
    const { need } = run.pieces.find((one) => one.slot === slot);
    this.#page.send("piece spoiled", { run: run.key, ...partOf(slot), count: 1, counted, need });
  }

  undo(button) {
    const last = undoable(this.#state);
    const other = last && whose(last, this.#page.sheet);
    if (other && !sure(button, `That was ${other}. Undo it? Tap again`)) return;
    if (last) this.#page.send("undo", { event: last.id });
  }
}
