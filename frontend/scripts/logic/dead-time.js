// A tap so soon after a change of screen is a bounce of the button, or was aimed at what stood there before.
export const DEAD = 500;
// A button that bounces answers once more within this time; later it was a finger.
export const BOUNCE = 250;

// Times are in milliseconds of one clock, handed in.
export class DeadTime {
  /** @type {unknown} */
  #screen;
  #since = -Infinity;
  #taken = -Infinity;

  // What is on the screen now, in any words. Answers whether that is another screen than before.
  /** @param {unknown} screen @param {number} now */
  see(screen, now) {
    if (screen === this.#screen) return false;
    this.#screen = screen;
    this.begin(now);
    return true;
  }

  /** @param {number} now */
  begin(now) {
    this.#since = now;
  }

  // `at` is when the finger tapped, not when the page came to hear of it.
  /** @param {number} at */
  isBlind(at) {
    return at < this.#since + DEAD;
  }

  // A tap at that moment was taken.
  /** @param {number} at */
  took(at) {
    this.#taken = at;
  }

  // Whether a tap at that moment is the same press of a worn button, or wet glove, as the one that was taken last.
  /** @param {number} at */
  isBounce(at) {
    return at <= this.#taken + BOUNCE;
  }
}
