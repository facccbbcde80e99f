// One run stands in the page at a time: the others wait as text, so that a page of a hundred runs is as light as one.
import { showLengths } from "./lengths.js";

export class RunScreens {
  #main;
  #made = new Map();
  #texts;

  // `main` holds the section of the run that the page opened with, if any, and templates for others.
  constructor(main) {
    this.#main = main;
    for (const section of main.querySelectorAll(":scope > .run")) this.#made.set(Number(section.dataset.number), section);
  }

  // The screens of the other runs have come, by number.
  take(texts) {
    this.#texts = texts;
  }

  // Whether the screen of that run is here.
  has(number) {
    return this.#made.has(number) || Boolean(this.#texts?.has(number) || this.#template(number));
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
      const { content } = this.#template(number) ?? templateOf(this.#texts.get(number));
      this.#made.set(number, document.importNode(content, true).querySelector(".run"));
    }
    return this.#made.get(number);
  }

  #template(number) {
    return this.#main.querySelector(`template[data-run="${number}"]`);
  }
}

function templateOf(html) {
  const template = document.createElement("template");
  template.innerHTML = html; // made by the bench from its own template, every name escaped
  return template;
}
