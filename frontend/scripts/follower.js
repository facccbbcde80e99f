// Keeps a page in line with the bench: one live line for the run on the screen, opened again when it breaks for good.
import { ask, follow } from "./wire.js";

const SETTLE = 250;
const AGAIN = 4000;

export class Follower {
  constructor(job, page) {
    this.job = job;
    this.page = page;
    this.number = 0;
    this.end = () => {};
    this.timer = 0;
    this.waiting = 0;
    addEventListener("online", () => this.open());
    addEventListener("offline", () => this.page.reached(false));
    addEventListener("pageshow", ({ persisted }) => persisted && this.open());
    addEventListener("pagehide", () => this.end());
  }

  // The run on the screen has changed; the line says so to the others.
  at(number) {
    this.number = number;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.open(), SETTLE);
  }

  open() {
    clearTimeout(this.waiting);
    this.end();
    const address = `/jobs/${this.job}/live?run=${this.number}&page=${this.page.page}&after=${this.page.word.seq}`;
    this.end = follow(address, {
      heard: (word) => this.page.hear(word),
      reached: (reached) => {
        this.page.reached(reached);
        if (!reached) this.lookAgain();
      },
    });
  }

  // A browser gives a line up when the bench answers but refuses; ask from time to time whether it is back.
  lookAgain() {
    clearTimeout(this.waiting);
    this.waiting = setTimeout(async () => {
      const answer = await ask(`/jobs/${this.job}/standing`);
      if (answer.ok) {
        this.page.hear(answer.data);
        this.open();
      } else this.lookAgain();
    }, AGAIN);
  }
}
