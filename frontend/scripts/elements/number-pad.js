// A number pad for what was measured: large keys, fractions, the shop's unit. It reads nothing, the bench does.
const KEYS = {
  mm: ["7", "8", "9", "back", "4", "5", "6", ".", "1", "2", "3", "0"],
  in: ["7", "8", "9", "back", "4", "5", "6", "/", "1", "2", "3", " ", "0", ".", "1/2", "1/4"],
};
const WORDS = { back: "⌫", " ": "space" };

customElements.define(
  "number-pad",
  class extends HTMLElement {
    connectedCallback() {
      this.innerHTML = `<dialog aria-labelledby="pad-about"><form method="dialog">
        <h2 id="pad-about"></h2><p class="soft wanted"></p>
        <div class="stops-to-choose field"><label for="pad-stop">Which</label><select id="pad-stop"></select></div>
        <div class="typed"><input aria-label="Measured length" inputmode="none" autocomplete="off" maxlength="24"><span class="unit"></span></div>
        <div class="keys"></div>
        <div class="ends"><button type="button" class="quiet" value="">Not now</button><button class="go enter">Enter</button></div>
      </form></dialog>`;
      this.dialog = this.querySelector("dialog");
      this.input = this.querySelector("input");
      this.choice = this.querySelector("select");
      this.dialog.onclose = () => this.dispatchEvent(new Event("closed"));
      this.querySelector("[value='']").onclick = () => this.dialog.close();
      this.querySelector(".keys").onclick = (event) => this.press(event.target.closest("button")?.value);
      this.choice.onchange = () => this.update();
      this.querySelector("form").onsubmit = (event) => {
        if (!/\d/.test(this.input.value)) {
          event.preventDefault();
          this.input.focus();
          return;
        }
        const detail = { trial: this.trials[this.choice.selectedIndex], text: this.input.value.trim(), unit: this.unit };
        this.dispatchEvent(new CustomEvent("measured", { detail }));
      };
    }

    // Opens for one run; `trials` carry what to say and the texts wanted, `unit` is what a bare number means.
    open(trials, unit) {
      this.trials = trials;
      this.unit = unit;
      this.input.value = "";
      this.choice.replaceChildren(...trials.map((trial) => new Option(trial.say)));
      this.update();
      this.dialog.showModal();
      this.input.focus();
      this.dispatchEvent(new Event("opened"));
    }

    get isOpen() {
      return this.dialog.open;
    }

    update() {
      const trial = this.trials[this.choice.selectedIndex];
      this.querySelector("h2").textContent = trial.title;
      this.querySelector(".wanted").textContent = trial.wanted;
      this.querySelector(".stops-to-choose").hidden = this.trials.length < 2;
      this.querySelector(".typed .unit").textContent = this.unit;
      const keys = KEYS[this.unit].map((key) => {
        const button = document.createElement("button");
        Object.assign(button, { type: "button", value: key, textContent: WORDS[key] ?? key, className: key === " " ? "word" : "" });
        button.ariaLabel = { back: "delete", "/": "over", ".": "point" }[key] ?? WORDS[key] ?? key;
        return button;
      });
      this.querySelector(".keys").replaceChildren(...keys);
    }

    press(key) {
      if (!key) return;
      const typed = this.input.value;
      if (key === "back") this.input.value = typed.slice(0, -1);
      else if (key.length > 1 && typed && !typed.endsWith(" ")) this.input.value = `${typed} ${key}`;
      else this.input.value = (typed + key).slice(0, 24);
    }
  },
);
