// A page of runs opens with the one at hand and the one after it; the screens of all others come behind it, in one answer.
import { askPage } from "./wire.js";

const AGAIN = 4000;
const SCREENS = /<template data-run="(\d+)">([^]*?)<\/template>/g;

export class RestOfRuns {
  #address;
  #mark;
  #coming;
  #timer = 0;
  #tryNow = () => {};

  // `mark` names the sheet that the page was made from.
  constructor(job, mark) {
    [this.#address, this.#mark] = [`/jobs/${job}/runs?whole`, mark];
    addEventListener("online", () => this.#tryNow());
  }

  // The screens by number, asked for until they come; undefined when the bench has another sheet by now.
  come() {
    this.#coming ??= new Promise((resolve) => {
      this.#tryNow = async () => {
        clearTimeout(this.#timer);
        const page = await askPage(this.#address);
        if (page === undefined) this.#timer = setTimeout(this.#tryNow, AGAIN);
        else resolve(this.#screensIn(page));
      };
      this.#tryNow();
    });
    return this.#coming;
  }

  #screensIn(page) {
    if (!page.includes(`<run-stepper data-sheet="${this.#mark}">`)) return undefined;
    return new Map([...page.matchAll(SCREENS)].map(([, number, html]) => [Number(number), html]));
  }
}
