// When runs fall from now on and clamps come free, as the bench reckons it; no times where it is out of reach.
// Asked for again a moment after each word from the bench, and every minute, for the clock goes on.
import { ask } from "./wire.js";

const SETTLE = 600;
const MINUTE = 60000;
const OUT_OF_REACH = "When runs fall is known in reach of the bench only.";

export class DayTimes {
  // `steadily` does a change that moves what stands below it.
  constructor(job, root, steadily = (change) => change()) {
    this.job = job;
    this.root = root;
    this.steadily = steadily;
    this.timer = 0;
    if (!root.querySelector("[data-falls], [data-day]")) return;
    addEventListener("online", () => this.soon());
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.soon());
    this.look();
  }

  // Something was done: what is left falls otherwise.
  soon() {
    if (!this.timer) return;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.look(), SETTLE);
  }

  async look() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.look(), MINUTE);
    if (document.visibilityState === "hidden") return;
    const answer = await ask(`/jobs/${this.job}/day`);
    this.day = answer.ok ? answer.data.day : null;
    this.steadily(() => this.again());
  }

  // Another run has come into the page: what was heard last is said there too.
  again() {
    if (this.day !== undefined) this.show(this.day);
  }

  show(day) {
    for (const place of this.root.querySelectorAll("[data-falls]")) say(place, day?.runs[place.dataset.falls] ?? "");
    for (const place of this.root.querySelectorAll("[data-day]")) {
      const words = day ? [...day.held, day.glued, day.done].filter(Boolean) : [];
      say(place, day ? `At ${day.at}: ${words.join("; ") || "nothing is left"}.` : OUT_OF_REACH);
    }
  }
}

function say(place, words) {
  if (place.textContent !== words) place.textContent = words;
}
