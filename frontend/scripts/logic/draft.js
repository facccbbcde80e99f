// What is kept of a draft that is not yet on the bench's disk, and the words that say how it stands.

// `unsaved`: there is something the bench has not acknowledged; `failures` in a row; `refused`: why it will not take it.
export function savingWords({ unsaved, sending, failures, conflict, refused }) {
  if (conflict) return "Not saved: changed in another window.";
  if (refused) return `Not saved: ${refused}`;
  if (failures) return "Not saved yet: the bench is out of reach. What you typed is kept here, and is tried again.";
  if (sending || unsaved) return "Saving …";
  return "Saved";
}

// A draft kept by an earlier page is of use unless the bench holds the same already.
export function worthKeeping(kept, now) {
  return Boolean(kept?.draft?.rows) && !same(kept.draft, { rows: now.rows, settings: now.settings });
}

// Faults by the key of their row, and by field within it; those of no row under the key "".
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
export function shownFaults(faults, cells, isBeingFilled) {
  return isBeingFilled ? faults.filter((fault) => String(cells[fault.field] ?? "").trim()) : faults;
}

// The mark of every row by its key: as written, else as the bench reads an empty one.
export const marksOf = (rows, keys, readings) => new Map(keys.map((key, place) => [key, String(rows[place].mark || readings[place]?.mark || "")]));

// Old mark -> new one of the rows that were called otherwise when they were saved last: joints that name them follow.
export function renamed(known, rows, keys) {
  const once = (mark) => [...known.values()].filter((other) => other === mark).length === 1;
  const moved = keys.map((key, place) => [known.get(key), String(rows[place].mark ?? "").trim()]);
  return Object.fromEntries(moved.filter(([was, now]) => was && now && was !== now && once(was)));
}

const same = (one, other) => JSON.stringify(tidy(one)) === JSON.stringify(tidy(other));

function tidy({ rows, settings }) {
  const held = rows.map((cells) => Object.entries(cells).filter(([, text]) => String(text).trim()).sort());
  return { rows: held.filter((cells) => cells.length), settings: settings ? Object.entries(settings).sort() : null };
}
