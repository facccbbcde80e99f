// What is typed on the number pad at the run on the screen: a trial piece measured, the reading of a stop noted.
import { followCalliper } from "./calliper.js";
import { openFirst } from "./logic/phase.js";
import { scaleReads } from "./logic/scale-reads.js";

export class Measuring {
  /** @type {import("./elements/run-stepper.js").RunStepper} */
  #page;

  // `page` is the run stepper.
  constructor(page) {
    this.#page = page;
    this.pad = page.querySelector("number-pad");
    for (const name of ["opened", "closed"]) this.pad.addEventListener(name, () => page.blind.look());
    this.pad.addEventListener("measured", ({ detail }) => this.#measured(detail));
    followCalliper(this, page);
  }

  // Whether a trial piece can be measured now.
  get canMeasure() {
    const { run, neededBox } = this.#page;
    return Boolean(run?.trials.length) && !neededBox.isOpen && ["trial", "count", "finish"].includes(this.#page.phase());
  }

  // `first` is what callipers have typed already.
  measure(first = "") {
    const { run, states, sheet, machines } = this.#page;
    const readings = { ...scaleReads(run, sheet.runs, states), ...states[run.key]?.readings };
    this.#open(openFirst(run, states[run.key], machines).map((one) => ({ ...one, wanted: "wanted", reading: readings[one.axis]?.nm ?? one.body.reading_nm })), first);
  }

  // Where a stop without a scale stands.
  note() {
    this.#open(this.#page.run.notes.map((one) => ({ ...one, note: true, wanted: "the sheet says" })));
  }

  #open(trials, first = "") {
    this.pad.open(trials, { shown: this.#page.sheet.shown, way: Math.max(0, this.#page.way), first });
  }

  #measured({ trial, text, unit }) {
    const typed = { run: this.#page.run.key, ...trial.body, text, unit };
    if (trial.note) this.#page.send("reading noted", typed);
    else this.#page.send("piece measured", { ...typed, reading_nm: trial.reading });
  }
}
