// Says the readings of a run, for a headset under ear muffs: off until it is switched on here, remembered on this phone.
// Only with a voice of the phone's own, so that nothing leaves the shop.
import { keep, read } from "../remembered.js";

const PLACE = "stopwright voice";

customElements.define(
  "local-voice",
  class extends HTMLElement {
    connectedCallback() {
      this.speech = globalThis.speechSynthesis;
      this.on = read(PLACE) === "on";
      this.switch = this.querySelector("button");
      this.again = document.querySelector("[data-say-again]");
      this.switch.onclick = () => this.turn(!this.on);
      this.again.onclick = () => this.say(this.last);
      this.speech?.addEventListener?.("voiceschanged", () => this.update());
      this.update();
    }

    // A voice that is spoken on this phone, not by a service somewhere; of the language that the pages are in.
    get voice() {
      return this.speech?.getVoices().find(({ localService, lang }) => localService === true && lang.startsWith("en"));
    }

    turn(on) {
      this.on = on;
      keep(PLACE, on ? "on" : "");
      if (!on) this.speech?.cancel();
      this.update();
      if (on) this.say(this.last);
    }

    // What a run says when it opens; said once, until another one opens.
    opens(key, words) {
      this.last = words;
      if (key === this.said) return;
      this.said = key;
      if (this.on) this.say(words);
    }

    say(words) {
      const { voice } = this;
      if (!words || !voice) return;
      this.speech.cancel();
      const told = new SpeechSynthesisUtterance(words);
      Object.assign(told, { voice, lang: voice.lang });
      this.speech.speak(told);
    }

    update() {
      const can = Boolean(this.voice);
      this.switch.hidden = !can;
      this.querySelector("small").hidden = can;
      this.switch.ariaPressed = String(this.on);
      this.again.hidden = !(can && this.on);
    }
  },
);
