// A number pad for what was measured: large keys, fractions, either unit; callipers may type into it. It reads nothing,
// the bench does.
import { KEYS, typedAfter, wayIn } from "../logic/typed-length.js";

const WORDS = { back: "⌫", " ": "space" };
const SPOKEN = { back: "delete", ".": "point", " ": "space" };

customElements.define(
  "number-pad",
  class extends HTMLElement {
    connectedCallback() {
      this.innerHTML = `<dialog aria-labelledby="pad-about"><form method="dialog">
        <h2 id="pad-about"></h2><p class="soft wanted"></p>
        <div class="stops-to-choose field"><label for="pad-stop">Which</label><select id="pad-stop"></select></div>
        <div class="typed"><input aria-label="Measured length" inputmode="none" autocomplete="off" maxlength="24">
          <span class="units" role="group" aria-label="Unit of a bare number"><button type="button" data-unit="mm">mm</button><button type="button" data-unit="in">in</button></span></div>
        <div class="keys"></div>
        <div class="ends"><button type="button" class="quiet" value="">Not now</button><button class="go enter">Enter</button></div>
      </form></dialog>`;
      this.dialog = this.querySelector("dialog");
      this.input = this.querySelector("input");
      this.choice = this.querySelector("select");
      this.dialog.onclose = () => this.dispatchEvent(new Event("closed"));
      this.querySelector("[value='']").onclick = () => this.dialog.close();
      this.querySelector(".keys").onclick = (event) => this.press(event.target.closest("button")?.value);
      this.querySelector(".units").onclick = (event) => this.turn(event.target.closest("button")?.dataset.unit);
      this.choice.onchange = () => {
        this.asksWhich = false;
        this.update();
        this.input.focus();
      };
      this.querySelector("form").onsubmit = (event) => {
        event.preventDefault();
        this.enter();
      };
      this.input.onkeydown = (event) => {
        if (event.key !== "Enter") return;
        event.preventDefault();
        if (!this.asksWhich && !event.repeat) this.enter();
      };
    }

    // Opens for one run: `trials` carry what to say and the texts wanted, `shown` are the ways to show a length and `way`
    // the one chosen. `first` is what callipers have typed already: which of several it is for is then asked.
    open(trials, { shown, way, first = "" }) {
      const unit = shown[way] === "mm" ? "mm" : "in";
      if (this.unitOf !== unit) this.unit = this.unitOf = unit; // a unit chosen here holds until the page's own changes
      this.trials = trials;
      this.shown = shown;
      this.way = way;
      this.asksWhich = Boolean(first) && trials.length > 1;
      this.input.value = first;
      this.choice.replaceChildren(...trials.map((trial) => new Option(trial.say)));
      this.update();
      this.dialog.showModal();
      this.input.focus();
      this.dispatchEvent(new Event("opened"));
    }

    get isOpen() {
      return this.dialog.open;
    }

    enter() {
      if (!/\d/.test(this.input.value)) {
        this.input.focus();
        return;
      }
      const detail = { trial: this.trials[this.choice.selectedIndex], text: this.input.value.trim(), unit: this.unit };
      this.dialog.close();
      this.dispatchEvent(new CustomEvent("measured", { detail }));
    }

    turn(unit) {
      if (!unit) return;
      this.unit = unit;
      this.update();
      this.input.focus();
    }

    update() {
      const trial = this.trials[this.choice.selectedIndex];
      this.querySelector("h2").textContent = trial.title;
      this.querySelector(".wanted").textContent = `${trial.wanted}: ${trial.target[wayIn(this.unit, this.shown, this.way)]}`;
      this.querySelector(".stops-to-choose").hidden = this.trials.length < 2;
      for (const button of this.querySelectorAll("[data-unit]")) button.ariaPressed = String(button.dataset.unit === this.unit);
      const keys = KEYS[this.unit].map((key) => {
        const button = document.createElement("button");
        Object.assign(button, { type: "button", value: key, textContent: WORDS[key] ?? key, className: key === " " ? "word" : "" });
        button.ariaLabel = SPOKEN[key] ?? key.replace(/^\//, "over ");
        return button;
      });
      this.querySelector(".keys").replaceChildren(...keys);
    }

    press(key) {
      if (key) this.input.value = typedAfter(this.input.value, key);
    }
  },
);
