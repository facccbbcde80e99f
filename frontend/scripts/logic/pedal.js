// A pedal, presenter or Bluetooth button is a keyboard with a key or two: which key it is is learned by pressing it.

// Milliseconds within which a worn switch closes twice; nobody cuts a piece in so little time.
export const BOUNCE = 300;

const NEVER = new Set(["Tab", "Escape", "Shift", "Control", "Alt", "AltGraph", "Meta", "OS", "Process"]);

// A name for the key of an event; "" for one that cannot be learned, because a page is worked with it.
/** @param {Partial<Pick<KeyboardEvent, "key" | "code" | "keyCode">>} press */
export function keyName({ key = "", code, keyCode }) {
  if (NEVER.has(key)) return "";
  return code || (key && key !== "Unidentified" ? key : keyCode ? `key ${keyCode}` : "");
}

// Whether a press at `now` is one of its own: not held down, and not the bounce of the press at `last`.
/** @type {(press: Pick<KeyboardEvent, "repeat">, last: number, now: number) => boolean} */
export const isPress = ({ repeat }, last, now) => !repeat && now - last >= BOUNCE;

// The line that a press counts: the one tapped last while anything of it is missing, else the first that has something
// missing; undefined when all are cut.
/**
 * @template {Pick<Line, "slot">} L
 * @param {L[]} missing
 * @param {string | undefined} last
 * @returns {L | undefined}
 */
export function lineOf(missing, last) {
  return missing.find((one) => one.slot === last) ?? missing[0];
}
