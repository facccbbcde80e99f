// Keeps out of an element every tap that was made blind: too soon after its screen changed or something moved on it.
// While that lasts the element carries `data-settling` and its buttons are dead to the finger. What was kept out is told
// by the event "swallowed"; whoever meant a button feels it refused, unless the button only bounced.
import { DEAD, DeadTime } from "./logic/dead-time.js";
import { signal } from "./signal.js";

const TAPPED = "button, a, input, select, summary, label";

export class BlindTaps {
  #element;
  #screen;
  #clock;
  #dead = new DeadTime();
  #timer = 0;

  // `screen` says what is on the screen now; `clock` tells milliseconds on the same scale as the time of an event.
  constructor(element, screen, clock = () => performance.now()) {
    this.#element = element;
    this.#screen = screen;
    this.#clock = clock;
    element.addEventListener("click", (event) => this.#clicked(event), true);
    document.addEventListener("asking", () => this.look());
  }

  // To be called after whatever may have changed the screen.
  look() {
    if (this.#dead.see(this.#screen(), this.#clock())) this.#settle();
  }

  // Something under the thumb has moved though the screen is the same.
  moved() {
    this.#dead.begin(this.#clock());
    this.#settle();
  }

  // Whether what was pressed at that moment was pressed blind.
  isBlind(at) {
    return this.#dead.isBlind(at);
  }

  #settle() {
    clearTimeout(this.#timer);
    this.#element.dataset.settling = "";
    this.#timer = setTimeout(() => delete this.#element.dataset.settling, DEAD);
  }

  #clicked(event) {
    if (!this.#dead.isBlind(event.timeStamp)) return this.#dead.took(event.timeStamp);
    event.preventDefault();
    event.stopImmediatePropagation();
    if (!this.#dead.isBounce(event.timeStamp) && this.#meantOne(event)) signal("refused");
    this.#element.dispatchEvent(new Event("swallowed", { bubbles: true }));
  }

  // Whether something to be tapped is there; to the finger it is dead now, so what lies behind it was hit.
  #meantOne({ target, clientX, clientY }) {
    if (target.closest(TAPPED)) return true;
    return [...this.#element.querySelectorAll(TAPPED)].some((one) => {
      const { left, right, top, bottom } = one.getBoundingClientRect();
      return left <= clientX && clientX <= right && top <= clientY && clientY <= bottom && one.checkVisibility();
    });
  }
}
