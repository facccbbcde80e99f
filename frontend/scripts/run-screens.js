// One run stands in the page at a time: the others wait in templates, so that a page of a hundred runs is as light as one.
import { showLengths } from "./lengths.js";

export class RunScreens {
  #main;
  #made = new Map();

  // `main` holds the section of the run that the page opened with, if any, and a template for each other run.
  constructor(main) {
    this.#main = main;
    for (const section of main.querySelectorAll(":scope > .run")) this.#made.set(Number(section.dataset.number), section);
  }

  // Puts the run of that number into the page in the place of any other; 0 puts none. Answers its section.
  show(number) {
    const now = this.#main.querySelector(":scope > .run");
    const section = this.#of(number);
    if (section === now) return section;
    now?.remove();
    if (section) {
      this.#main.prepend(section);
      showLengths(section);
    }
    return section;
  }

  #of(number) {
    if (!number) return null;
    if (!this.#made.has(number)) {
      const { content } = this.#main.querySelector(`template[data-run="${number}"]`);
      this.#made.set(number, document.importNode(content, true).querySelector(".run"));
    }
    return this.#made.get(number);
  }
}
