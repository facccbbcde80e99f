// What matters at the moment, large enough for one and a half metres: the reading of the stop being set, or how many are
// left and how the piece lies. Switched on at the head of the page, remembered on this phone.
import { setTexts } from "../lengths.js";
import { keep, read } from "../remembered.js";

const PLACE = "stopwright far";

customElements.define(
  "far-view",
  class extends HTMLElement {
    connectedCallback() {
      this.switch = document.querySelector("[data-far]");
      this.switch.onclick = () => this.turn(!this.on);
      this.turn(read(PLACE) === "on");
    }

    turn(on) {
      this.on = on;
      keep(PLACE, on ? "on" : "");
      this.switch.ariaPressed = String(on);
      this.dispatchEvent(new Event("ways", { bubbles: true }));
    }

    // `line` is the one that is counted now, with how many of it are missing; `stop` the one being set or moved last, and
    // `texts` where it is to be. The number keeps its place whatever it is.
    update({ phase, line, stop, texts }) {
      const counts = phase === "count" && line;
      const figure = this.querySelector(".figure");
      const left = counts ? String(line.count) : "";
      figure.hidden = !counts && !texts;
      if (!figure.hidden) setTexts(figure, counts ? texts.map(() => left) : texts);
      const words = counts ? [`more of ${line.mark}`, ...line.far] : [stop?.name ?? "", ...(["change", "set"].includes(phase) ? [] : (line?.far ?? []))];
      const box = this.querySelector(".words");
      const said = words.filter(Boolean).join("\n");
      if (box.dataset.said !== said) {
        box.dataset.said = said;
        box.replaceChildren(...words.filter(Boolean).map(paragraph));
      }
      this.querySelector("[data-do=far-one]").hidden = !counts;
    }
  },
);

function paragraph(words) {
  const made = document.createElement("p");
  made.textContent = words;
  return made;
}
