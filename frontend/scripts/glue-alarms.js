// Sounds at half and at the end of the open time, and when clamps may come off: once each, never for what was past already
// when the page was opened.
import { alarmAt } from "./logic/glue-clock.js";
import { signal } from "./signal.js";

const WORDS = {
  half: "Half of the open time is gone.",
  end: "The open time is over.",
  clamps: "The clamps may come off.",
};

export class GlueAlarms {
  #glues;
  #known = new Map();

  constructor(glues) {
    this.#glues = glues;
  }

  // `stages` are { number, glue, begunAt, doneAt }, times in this phone's milliseconds. Answers what holds now, in words.
  look(stages, now) {
    return stages.flatMap(({ number, glue, begunAt, doneAt }) => {
      const { open = null, clamp = null } = this.#glues.find((one) => one.name === glue) ?? {};
      const alarm = alarmAt({ begun: begunAt, done: doneAt, open, clamp, now });
      const known = this.#known.get(number);
      this.#known.set(number, alarm);
      if (known !== undefined && alarm && alarm !== known) signal("alarm");
      return alarm ? [{ number, words: WORDS[alarm] }] : [];
    });
  }
}
