// Taps kept on this phone until the bench has acknowledged them: one entry each, so that two open pages never
// overwrite one another. Falls back to memory where the browser keeps nothing, and says so.
import { isTap } from "./logic/sending.js";

const PREFIX = "stopwright tap ";
const DAMAGED = { what: "An entry kept on this phone is damaged and cannot be read", next_step: "Count what lies there, then throw the entry away" };
const memory = new Map();
let counter = 0;
let keeps = true;

// Whether this browser keeps taps when the page is closed, as far as is known.
export const isKeeping = () => keeps;

function place(tap, now) {
  counter += 1;
  return `${PREFIX}${String(now).padStart(15, "0")} ${String(counter).padStart(6, "0")} ${tap.id}`;
}

export function keep(tap, now) {
  const kept = { ...tap, place: place(tap, now) };
  write(kept);
  return kept;
}

export function write(kept) {
  memory.set(kept.place, kept);
  try {
    localStorage.setItem(kept.place, JSON.stringify(kept));
  } catch {
    keeps = false;
  }
}

export function forget(kept) {
  memory.delete(kept.place);
  try {
    localStorage.removeItem(kept.place);
  } catch {
    keeps = false;
  }
}

// All kept taps in the order of tapping, those of other open pages of this phone included. An entry that cannot be read
// stands among them as one that was not taken, and holds up no other.
/** @returns {KeptTap[]} */
export function allKept() {
  const all = new Map(memory);
  try {
    for (const name of Object.keys(localStorage)) {
      if (name.startsWith(PREFIX)) all.set(name, read(name, localStorage.getItem(name)));
    }
    for (const name of memory.keys()) {
      if (keeps && localStorage.getItem(name) === null) [all, memory].forEach((one) => one.delete(name));
    }
  } catch {
    keeps = false;
  }
  return [...all.values()].sort((one, other) => (one.place < other.place ? -1 : 1));
}

function read(name, text) {
  try {
    const kept = JSON.parse(text);
    if (isTap(kept)) return { ...kept, place: name };
  } catch {
    // Cut off, or written by something else.
  }
  return { place: name, refused: DAMAGED };
}
