// Which key counts one: learned here by pressing it, remembered on this phone. Says "press" when it is pressed.
import { isPress, keyName } from "../logic/pedal.js";
import { keep, read } from "../remembered.js";

const PLACE = "stopwright pedal";

customElements.define(
  "count-pedal",
  class extends HTMLElement {
    connectedCallback() {
      this.key = read(PLACE);
      this.learning = false;
      this.last = -Infinity;
      this.learn = this.querySelector("[data-pedal=learn]");
      this.forget = this.querySelector("[data-pedal=forget]");
      this.learn.onclick = () => this.wait(!this.learning);
      this.forget.onclick = () => this.take("");
      for (const name of ["keydown", "keyup"]) addEventListener(name, (event) => this.heard(event), true);
      this.update();
    }

    // A key in a field, or in the number pad, is typing.
    heard(event) {
      const typing = event.target.closest?.("input, select, textarea, dialog");
      const name = keyName(event);
      if (typing || !name || (!this.learning && name !== this.key)) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      if (event.type === "keyup") return;
      const press = isPress(event, this.last, event.timeStamp);
      if (press) this.last = event.timeStamp;
      if (this.learning) this.take(name);
      else if (press) this.dispatchEvent(new CustomEvent("press", { bubbles: true, detail: { at: event.timeStamp } }));
    }

    wait(learning) {
      this.learning = learning;
      this.learn.blur();
      this.update();
    }

    take(name) {
      this.key = name;
      this.learning = false;
      keep(PLACE, name);
      this.update();
      this.dispatchEvent(new Event("learned", { bubbles: true }));
    }

    update() {
      this.learn.textContent = this.learning ? "Press it now" : this.key ? `${this.key} counts one` : "Learn its key";
      this.learn.ariaPressed = String(this.learning);
      this.forget.hidden = !this.key || this.learning;
    }
  },
);
