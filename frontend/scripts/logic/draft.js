// What is kept of a draft that is not yet on the bench's disk, and the words that say how it stands.

/** @typedef {import("./list-edit.js").Cells} Cells */
/** @typedef {{ rows: Cells[], settings?: Record<string, string> | null }} Draft  what is to be saved of a list */
/** @typedef {Fault & { row: number, field: string }} RowFault  `row` is -1 for what is wrong with the list as a whole */

// `unsaved`: there is something the bench has not acknowledged; `failures` in a row; `refused`: why it will not take it.
/**
 * @param {{ unsaved?: boolean, sending?: boolean, failures?: number, conflict?: boolean, refused?: string }} standing
 */
export function savingWords({ unsaved, sending, failures, conflict, refused }) {
  if (conflict) return "Not saved: changed in another window.";
  if (refused) return `Not saved: ${refused}`;
  if (failures) return "Not saved yet: the bench is out of reach. What you typed is kept here, and is tried again.";
  if (sending || unsaved) return "Saving …";
  return "Saved";
}

// A draft kept by an earlier page is of use unless the bench holds the same already.
/** @param {{ draft?: Draft } | null | undefined} kept @param {Draft} now */
export function worthKeeping(kept, now) {
  if (!kept?.draft?.rows) return false;
  return !same(kept.draft, { rows: now.rows, settings: now.settings });
}

// Faults by the key of their row, and by field within it; those of no row under the key "".
/** @param {RowFault[]} faults @param {number[]} keys @returns {Map<number | "", RowFault[]>} */
export function faultsByRow(faults, keys) {
  const byRow = new Map();
  for (const fault of faults) {
    const key = fault.row < 0 ? "" : keys[fault.row];
    if (!byRow.has(key)) byRow.set(key, []);
    byRow.get(key).push(fault);
  }
  return byRow;
}

// Of the row one is just filling in, what is only not there yet is not shown.
/** @param {RowFault[]} faults @param {Cells} cells @param {boolean} isBeingFilled */
export function shownFaults(faults, cells, isBeingFilled) {
  return isBeingFilled ? faults.filter((fault) => String(cells[fault.field] ?? "").trim()) : faults;
}

// The mark of every row by its key: as written, else as the bench reads an empty one.
/** @type {(rows: Cells[], keys: number[], readings: (Cells | undefined)[]) => Map<number, string>} */
export const marksOf = (rows, keys, readings) => new Map(keys.map((key, place) => [key, String(rows[place].mark || readings[place]?.mark || "")]));

// Old mark -> new one of the rows that were called otherwise when they were saved last: joints that name them follow.
/**
 * @param {Map<number, string>} known
 * @param {Cells[]} rows
 * @param {number[]} keys
 * @returns {Record<string, string>}
 */
export function renamed(known, rows, keys) {
  /** @type {(mark: string) => boolean} */
  const once = (mark) => [...known.values()].filter((other) => other === mark).length === 1;
  const moved = keys.map((key, place) => [known.get(key), String(rows[place].mark ?? "").trim()]);
  return Object.fromEntries(moved.filter(([was, now]) => was && now && was !== now && once(was)));
}

/** @type {(one: Draft, other: Draft) => boolean} */
const same = (one, other) => JSON.stringify(tidy(one)) === JSON.stringify(tidy(other));

/** @param {Draft} draft */
function tidy({ rows, settings }) {
  const held = rows.map((cells) => Object.entries(cells).filter(([, text]) => String(text).trim()).sort());
  return { rows: held.filter((cells) => cells.length), settings: settings ? Object.entries(settings).sort() : null };
}
