// Says that the run sheet is another one now: once for each new sheet, seen, felt, and with what is cut by the old one.
import { length } from "./lengths.js";
import { cutBefore } from "./logic/changed-sheet.js";
import { signal } from "./signal.js";
import { ask } from "./wire.js";

export class OldSheet {
  #foot;
  #job;
  #told;

  // `foot` holds the line that says so.
  constructor(foot, job) {
    [this.#foot, this.#job] = [foot, job];
  }

  // `now` names the sheet that the bench has, `mine` the one that the page was made from.
  async look(now, mine) {
    this.#foot.querySelector("[data-say=old]").hidden = now === mine;
    if (now === mine || now === this.#told) return;
    this.#told = now;
    signal("changed");
    const answer = await ask(`/jobs/${this.#job}/worked-before`);
    const box = this.#foot.querySelector("[data-say=cut-before]");
    if (answer.ok) box.replaceChildren(...cutBefore(answer.data.lines).map((part) => (typeof part === "string" ? part : length(part))));
  }
}
