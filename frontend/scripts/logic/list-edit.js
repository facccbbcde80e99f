// A list edited like a spreadsheet: rows of texts, where one stands, what is marked, what can be undone. No page here.

/** @typedef {Record<string, string>} Cells  the texts of a row by field */
/** @typedef {{ key: number, cells: Cells }} Row  its key stays with it, wherever it is moved */
/** @typedef {{ row: number, column: number }} At */
/** @typedef {{ rows: Row[], at: At }} Then  what an undo goes back to */
/** @typedef {{ fields: string[], unique: string[], rows: Row[], nextKey: number, at: At, from: At | null, past: Then[], future: Then[] }} List */

const DEPTH = 200;

// `fields` in the order of the columns, `unique` those that a copied row leaves empty. A blank row always follows the last.
/** @param {string[]} fields @param {Cells[]} rows @param {string[]} [unique] @returns {List} */
export function listOf(fields, rows, unique = []) {
  return { fields, unique, rows: rows.map((cells, key) => ({ key, cells })), nextKey: rows.length, at: { row: 0, column: 0 }, from: null, past: [], future: [] };
}

/** @type {(row: Row) => boolean} */
export const isBlank = (row) => Object.values(row.cells).every((text) => !String(text).trim());

// What is sent: the rows that hold something, and the key of each.
/** @param {List} list */
export function filled(list) {
  const rows = list.rows.filter((row) => !isBlank(row));
  return { rows: rows.map((row) => row.cells), keys: rows.map((row) => row.key) };
}

/** @type {(list: List, row: number, column: number) => string} */
export const textAt = (list, row, column) => String(list.rows[row]?.cells[list.fields[column]] ?? "");

/**
 * @param {List} list
 * @param {number} row
 * @param {number} column
 * @param {{ extend?: boolean }} [how]
 * @returns {List}
 */
export function standAt(list, row, column, { extend = false } = {}) {
  const at = { row: within(row, 0, list.rows.length), column: within(column, 0, list.fields.length - 1) };
  return { ...list, at, from: extend ? list.from ?? list.at : null };
}

/** @type {(list: List, rows: number, columns: number, how?: { extend?: boolean }) => List} */
export const step = (list, rows, columns, how) => standAt(list, list.at.row + rows, list.at.column + columns, how);

// The cell after this one, row by row; the same list when there is none further.
/** @param {List} list @param {number} by */
export function onward(list, by) {
  const width = list.fields.length;
  const place = list.at.row * width + list.at.column + by;
  return place < 0 || place >= (list.rows.length + 1) * width ? list : standAt(list, Math.floor(place / width), place % width);
}

// The marked cells, or the one stood at.
/** @param {List} list */
export function marked(list) {
  const other = list.from ?? list.at;
  const [top, bottom] = [list.at.row, other.row].sort((a, b) => a - b);
  const [left, right] = [list.at.column, other.column].sort((a, b) => a - b);
  return { top, bottom, left, right };
}

/** @param {List} list @param {string} text */
export function write(list, text) {
  return fill(list, list.at, [[text]]).list;
}

// Puts a block of cells down at the marked place; a single one goes into every marked cell. Columns that do not fit are counted.
/** @param {List} list @param {string[][]} block */
export function putDown(list, block) {
  const { top, bottom, left, right } = marked(list);
  if (block.length === 1 && block[0].length === 1) {
    const text = block[0][0];
    return fill(list, { row: top, column: left }, Array.from({ length: bottom - top + 1 }, () => Array(right - left + 1).fill(text)));
  }
  return fill(list, { row: top, column: left }, block);
}

/** @param {List} list */
export function clear(list) {
  const { top, bottom, left, right } = marked(list);
  const last = Math.min(bottom, list.rows.length - 1);
  if (last < top) return list;
  return fill(list, { row: top, column: left }, Array.from({ length: last - top + 1 }, () => Array(right - left + 1).fill(""))).list;
}

// Rows with these cells by field, put in after the last: what came with its own header.
/** @param {List} list @param {Cells[]} rows */
export function addFilled(list, rows) {
  const made = rows.map((cells, number) => ({ key: list.nextKey + number, cells }));
  return changed(list, [...list.rows.filter((row) => !isBlank(row)), ...made], list.nextKey + made.length);
}

// Cells of the rows with these keys written otherwise, wherever they still hold what they held before: in what can be undone too.
/** @param {List} list @param {number[]} keys @param {Cells[]} before @param {Cells[]} after @returns {List} */
export function retyped(list, keys, before, after) {
  const places = new Map(keys.map((key, place) => [key, place]));
  /** @type {(rows: Row[]) => Row[]} */
  const anew = (rows) =>
    rows.map((row) => {
      const place = places.get(row.key) ?? -1;
      const [was, now] = [before[place], after[place]];
      if (!was || !now) return row;
      const cells = Object.entries(row.cells).map(([field, text]) => [field, now[field] !== undefined && text === was[field] ? now[field] : text]);
      return { ...row, cells: Object.fromEntries(cells) };
    });
  /** @type {(all: Then[]) => Then[]} */
  const steps = (all) => all.map((one) => ({ ...one, rows: anew(one.rows) }));
  return { ...list, rows: anew(list.rows), past: steps(list.past), future: steps(list.future) };
}

/** @param {List} list @returns {List} */
export function addRow(list) {
  const place = Math.min(list.at.row + 1, list.rows.length);
  const rows = [...list.rows.slice(0, place), { key: list.nextKey, cells: {} }, ...list.rows.slice(place)];
  return { ...changed(list, rows, list.nextKey + 1), at: { row: place, column: 0 }, from: null };
}

/** @param {List} list @returns {List} */
export function copyRows(list) {
  const { top, bottom } = marked(list);
  const chosen = list.rows.slice(top, bottom + 1);
  if (!chosen.length) return list;
  const made = chosen.map((row, number) => ({ key: list.nextKey + number, cells: without(row.cells, list.unique) }));
  const rows = [...list.rows.slice(0, bottom + 1), ...made, ...list.rows.slice(bottom + 1)];
  return { ...changed(list, rows, list.nextKey + made.length), at: { ...list.at, row: Math.min(bottom, list.rows.length - 1) + 1 }, from: null };
}

// The marked rows each made two, the pieces shared out between them: of handed pairs each half keeps whole pairs. A row of one
// piece, or one that does not say how many, stays as it is.
/** @param {List} list @returns {List} */
export function splitRows(list) {
  const { top, bottom } = marked(list);
  let nextKey = list.nextKey;
  const rows = list.rows.flatMap((row, place) => {
    const counted = ["quantity", "per_unit"].find((field) => /^\s*\d+\s*$/.test(row.cells[field] ?? ""));
    const whole = counted ? Number(row.cells[counted]) : 0;
    const least = row.cells.hand?.trim() === "pairs" ? 2 : 1;
    if (place < top || place > bottom || !counted || whole < 2 * least) return [row];
    const first = Math.ceil(whole / (2 * least)) * least;
    const other = { ...without(row.cells, list.unique), [counted]: String(whole - first) };
    return [{ ...row, cells: { ...row.cells, [counted]: String(first) } }, { key: nextKey++, cells: other }];
  });
  return nextKey === list.nextKey ? list : { ...changed(list, rows, nextKey), from: null };
}

/** @param {List} list @returns {List} */
export function deleteRows(list) {
  const { top, bottom } = marked(list);
  if (top >= list.rows.length) return list;
  const rows = list.rows.filter((_, place) => place < top || place > bottom);
  return { ...changed(list, rows), at: { ...list.at, row: Math.min(top, rows.length) }, from: null };
}

// Moves the marked rows up (-1) or down (1) by one.
/** @param {List} list @param {-1 | 1} by @returns {List} */
export function moveRows(list, by) {
  const { top, bottom } = marked(list);
  const last = Math.min(bottom, list.rows.length - 1);
  if (last < top || top + by < 0 || last + by >= list.rows.length) return list;
  const rows = [...list.rows];
  const moving = rows.splice(top, last - top + 1);
  rows.splice(top + by, 0, ...moving);
  /** @type {<P extends At | null>(place: P) => P} */
  const down = (place) => place && { ...place, row: place.row + by };
  return { ...changed(list, rows), at: down(list.at), from: down(list.from) };
}

/** @type {(list: List) => List} */
export const undo = (list) => travel(list, "past", "future");
/** @type {(list: List) => List} */
export const redo = (list) => travel(list, "future", "past");

// The one choice that begins so, else what was typed.
/** @param {string} text @param {string[]} [choices] */
export function completed(text, choices = []) {
  const start = text.trim().toLowerCase();
  const fits = start ? choices.filter((choice) => choice.startsWith(start)) : [];
  return fits.length && (fits.length === 1 || fits[0] === start) ? fits[0] : text;
}

/** @type {(value: number, low: number, high: number) => number} */
const within = (value, low, high) => Math.min(Math.max(value, low), high);

/** @type {(cells: Cells, fields: string[]) => Cells} */
const without = (cells, fields) => Object.fromEntries(Object.entries(cells).filter(([field]) => !fields.includes(field)));

/** @param {List} list @param {At} from @param {string[][]} block */
function fill(list, { row, column }, block) {
  const rows = [...list.rows];
  let nextKey = list.nextKey;
  let leftOut = 0;
  let touched = false;
  for (const [down, texts] of block.entries()) {
    leftOut = Math.max(leftOut, column + texts.length - list.fields.length);
    const before = rows[row + down] ?? { key: -1, cells: {} };
    const cells = { ...before.cells };
    for (const [across, text] of texts.entries()) {
      const field = list.fields[column + across];
      if (field) cells[field] = text;
    }
    if (!list.fields.some((field) => String(cells[field] ?? "") !== String(before.cells[field] ?? ""))) continue;
    while (rows.length < row + down) rows.push({ key: nextKey++, cells: {} });
    rows[row + down] = { key: before.key < 0 ? nextKey++ : before.key, cells };
    touched = true;
  }
  return { list: touched ? changed(list, rows, nextKey) : list, leftOut };
}

/** @param {List} list @param {Row[]} rows @param {number} [nextKey] @returns {List} */
function changed(list, rows, nextKey = list.nextKey) {
  return { ...list, rows, nextKey, past: [...list.past.slice(-DEPTH + 1), { rows: list.rows, at: list.at }], future: [] };
}

/** @param {List} list @param {"past" | "future"} back @param {"past" | "future"} forth @returns {List} */
function travel(list, back, forth) {
  const then = list[back].at(-1);
  if (!then) return list;
  return { ...list, rows: then.rows, at: then.at, from: null, [back]: list[back].slice(0, -1), [forth]: [...list[forth], { rows: list.rows, at: list.at }] };
}
