// Keeps every tap at once, sends them in order, and lets go of a tap only when the bench has it on disk. One that the
// bench never takes is set aside; it holds up no other.
import { allKept, forget, isKeeping, keep, write } from "./kept.js";
import { renewWord, runsWord } from "./kept-word.js";
import { meaningOf, nextPortion, pause } from "./logic/sending.js";
import { post } from "./wire.js";

export class Outbox extends EventTarget {
  #word;
  #failures = 0;
  #removed = false;
  #busy = false;
  #timer = 0;

  // `word` is the address of the bench's word that the page on the screen shows, "" for none: taps made there stay,
  // once acknowledged, until that word includes them.
  constructor(word) {
    super();
    this.#word = word;
  }

  start() {
    for (const name of ["online", "pageshow", "focus"]) addEventListener(name, () => this.send());
    addEventListener("storage", () => this.#tell());
    this.send();
  }

  // Keeps taps in their order, and tells of all of them at once.
  add(job, ...taps) {
    for (const tap of taps) keep({ ...tap, job, word: this.#word }, Date.now());
    this.#tell();
    this.send();
  }

  // Taps of one job, kept or acknowledged but not yet let go.
  of(job) {
    return allKept().filter((one) => one.job === job && !one.refused);
  }

  // Taps that were set aside, with why.
  refused() {
    return allKept().filter((one) => one.refused);
  }

  standing() {
    const kept = allKept();
    return {
      unsent: kept.filter((one) => !one.seq && !one.refused).length,
      refused: kept.filter((one) => one.refused).length,
      failures: this.#failures,
      removed: this.#removed,
      unkept: !isKeeping(),
    };
  }

  // Lets go of acknowledged taps made on this page that the bench's word up to `seq` includes.
  letGo(seq) {
    for (const one of allKept()) if (wordOf(one) === this.#word && one.seq && one.seq <= seq) forget(one);
  }

  throwAway() {
    for (const one of this.refused()) forget(one);
    this.#tell();
  }

  // Sends once more what was set aside: the job may have been restored.
  sendAgain() {
    for (const { refused, ...one } of this.refused()) if (one.id) write(one);
    this.#tell();
    this.send();
  }

  async send() {
    clearTimeout(this.#timer);
    if (this.#busy) return;
    this.#busy = true;
    const round = { passedOver: new Set(), alone: new Set() };
    let portion;
    let meaning = "";
    while (meaning !== "wait" && (portion = nextPortion(allKept(), round))) {
      meaning = await this.#sendPortion(portion, round);
      this.#tell();
    }
    if (meaning === "wait" || round.passedOver.size) {
      this.#failures += 1;
      this.#timer = setTimeout(() => this.send(), pause(this.#failures));
    } else this.#failures = 0;
    this.#busy = false;
    this.#tell();
    await this.#letGoElsewhere();
  }

  async #sendPortion({ job, taps }, round) {
    const events = taps.map(({ id, kind, at, body, shares }) => ({ id, kind, at, body, ...(shares && { shares }) }));
    const answer = await post(`/jobs/${job}/events`, { events, sent: new Date().toISOString() });
    this.#removed = answer.status === 403;
    const meaning = meaningOf(answer, events.map(({ id }) => id));
    for (const one of taps) {
      if (meaning === "apart") round.alone.add(one.id);
      if (meaning === "over") round.passedOver.add(one.id);
      if (meaning === "aside") write({ ...one, refused: answer.data.error });
      if (meaning !== "taken") continue;
      const { stored, refused } = answer.data;
      write(refused[one.id] ? { ...one, refused: refused[one.id] } : { ...one, seq: stored[one.id] });
    }
    return meaning;
  }

  // Acknowledged taps of pages that are not on the screen: their kept words are renewed first, so that such a page,
  // opened without network, still shows them.
  async #letGoElsewhere() {
    const elsewhere = allKept().filter((one) => one.seq && wordOf(one) !== this.#word);
    for (const word of new Set(elsewhere.map(wordOf))) await renewWord(word);
    for (const one of elsewhere) forget(one);
  }

  #tell() {
    this.dispatchEvent(new Event("change"));
  }
}

// Entries of version 0.1.0 do not say which word they wait for.
const wordOf = (one) => one.word ?? runsWord(one.job);
