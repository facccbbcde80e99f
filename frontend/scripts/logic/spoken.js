// A shown length as it is said: without signs that a voice would spell, with its unit in full.
import { takeApart } from "./figure.js";

/** @type {Record<string, string>} */
const UNITS = { mm: "millimetres", in: "inches" };
/** @type {Record<string, string>} */
const PARTS = { 2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth" };

// "17 3/4 in (−0.0032)" is said as "17 inches and 3 quarters"; what is off its mark is left to the eye.
/** @param {string} text */
export function spoken(text) {
  const { sign, whole, over, under, unit } = takeApart(text);
  const minus = sign ? "minus " : "";
  if (!over) return [`${minus}${whole}`, UNITS[unit]].filter(Boolean).join(" ");
  const fraction = over === "1" ? `1 ${PARTS[under] ?? `over ${under}`}` : `${over} ${PARTS[under] ? plural(PARTS[under]) : `over ${under}`}`;
  if (!whole) return `${minus}${fraction}${unit === "in" ? " of an inch" : ""}`;
  return `${minus}${whole} ${UNITS[unit] ?? ""} and ${fraction}`.replace("  ", " ");
}

/** @type {(word: string) => string} */
const plural = (word) => (word === "half" ? "halves" : `${word}s`);

// All that is said when a run opens: its number and work, each stop that is to be made with where it is to stand, and
// what else must not be missed. `stops` are { name, text }.
/** @param {{ number: number, title: string, stops: { name: string, text: string }[], beware?: string[] }} run */
export function runSaid({ number, title, stops, beware = [] }) {
  const said = [`Run ${number}`, title, ...stops.map(({ name, text }) => `${name}, ${spoken(text)}`), ...beware];
  return said.map((one) => `${one}.`).join(" ");
}
