// Keeps every tap at once, sends them in order, and lets go of a tap only when the bench has it on disk.
import { allKept, forget, keep, keeps, write } from "./kept.js";
import { nextPortion, pause } from "./logic/sending.js";
import { post } from "./wire.js";

export class Outbox extends EventTarget {
  #job;
  #failures = 0;
  #shutOut = false;
  #busy = false;
  #timer = 0;

  // `job` is the one on the screen: its acknowledged taps stay until the bench's word includes them.
  constructor(job) {
    super();
    this.#job = job;
  }

  start() {
    for (const name of ["online", "pageshow", "focus"]) addEventListener(name, () => this.send());
    addEventListener("storage", () => this.#tell());
    this.send();
  }

  add(job, tap) {
    keep({ ...tap, job }, Date.now());
    this.#tell();
    this.send();
  }

  // Taps of one job, kept or acknowledged but not yet let go.
  of(job) {
    return allKept().filter((one) => one.job === job && !one.refused);
  }

  refused() {
    return allKept().filter((one) => one.refused);
  }

  standing() {
    const kept = allKept();
    return {
      unsent: kept.filter((one) => !one.seq && !one.refused).length,
      refused: kept.filter((one) => one.refused).length,
      failures: this.#failures,
      shutOut: this.#shutOut,
      unkept: !keeps,
    };
  }

  // Lets go of acknowledged taps that the bench's word up to `seq` includes.
  letGo(job, seq) {
    for (const one of allKept()) if (one.job === job && one.seq && one.seq <= seq) forget(one);
  }

  dismiss() {
    for (const one of this.refused()) forget(one);
    this.#tell();
  }

  async send() {
    clearTimeout(this.#timer);
    if (this.#busy) return;
    this.#busy = true;
    let portion;
    while ((portion = nextPortion(allKept()))) {
      const events = portion.taps.map(({ id, kind, at, body }) => ({ id, kind, at, body }));
      const answer = await post(`/jobs/${portion.job}/events`, { events, sent: new Date().toISOString() });
      this.#shutOut = answer.status === 403;
      const { stored, refused } = (answer.ok && answer.data) || {};
      if (!events.every(({ id }) => stored?.[id] || refused?.[id])) {
        this.#failures += 1;
        this.#timer = setTimeout(() => this.send(), pause(this.#failures));
        break;
      }
      this.#failures = 0;
      for (const one of portion.taps) {
        const error = refused[one.id];
        if (error) write({ ...one, refused: error });
        else if (one.job === this.#job) write({ ...one, seq: stored[one.id] });
        else forget(one);
      }
      this.#tell();
    }
    this.#busy = false;
    this.#tell();
  }

  #tell() {
    this.dispatchEvent(new Event("change"));
  }
}
