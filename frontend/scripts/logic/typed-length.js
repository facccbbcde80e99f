// Lengths that are typed: on the pad's keys, or by callipers that send what they show as a keyboard would.

// Keys of the pad, four abreast. A whole fraction goes behind a space, a denominator straight behind its number.
export const KEYS = {
  mm: ["7", "8", "9", "back", "4", "5", "6", ".", "1", "2", "3", "0"],
  in: ["7", "8", "9", "back", "4", "5", "6", " ", "1", "2", "3", ".", "0", "1/2", "1/4", "3/4", "/8", "/16", "/32", "/64"],
};
const LONGEST = 24;

// What stands in the field after one more key.
/** @param {string} typed @param {string} key */
export function typedAfter(typed, key) {
  if (key === "back") return typed.slice(0, -1);
  const apart = /^\d\/\d/.test(key) && typed && !typed.endsWith(" ") ? " " : "";
  const after = `${typed}${apart}${key}`;
  return after.length > LONGEST ? typed : after;
}

// Whether a key begins a length, as callipers send it: a figure, a point, or a sign before it.
/** @type {(press: Pick<KeyboardEvent, "key" | "ctrlKey" | "altKey" | "metaKey">) => boolean} */
export const beginsLength = ({ key, ctrlKey, altKey, metaKey }) => /^[0-9.,+]$/.test(key) && !ctrlKey && !altKey && !metaKey;

// Which of the ways to show a length is in `unit` ("mm" or "in"): the one chosen, else whole hundredths of a millimetre
// or thousandths of an inch, as callipers show them.
/** @param {string} unit @param {string[]} shown @param {number} way */
export function wayIn(unit, shown, way) {
  if (shown[way].endsWith(unit)) return way;
  return unit === "mm" ? shown.indexOf("mm") : shown.length - 1;
}
