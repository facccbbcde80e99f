// Where a scanned piece goes, and what each unit lacks: the bench's word with this phone's own taps laid over it.

/** @typedef {Record<string, [first: number, last: number][]>} Spans  numbers of pieces, by what they have in common */
/** @typedef {{ sorted: Record<number, number>, waits: Record<number, string> }} Sorted  the unit that a piece lies with, the run that it waits for */
/** @typedef {Sorted & { spoiled: Set<number> }} Lying */
/** @typedef {{ piece: Piece, why: string }} Missing */
/** @typedef {{ unit: number, total: number, here: number, missing: Missing[] }} Unit */

// The bench's word as it comes, { sorted: {unit: spans}, waits: {run: spans} } with spans of numbers from first to last,
// spread out to single pieces as everything below wants it.
/** @template {{ sorted: Spans, waits: Spans }} W @param {W} word */
export function spread(word) {
  return { ...word, sorted: eachOf(word.sorted, Number), waits: eachOf(word.waits, (run) => run) };
}

/** @template T @param {Spans} spansOf @param {(name: string) => T} read */
function eachOf(spansOf, read) {
  /** @type {Record<number, T>} */
  const each = {};
  for (const [name, spans] of Object.entries(spansOf)) {
    for (const [first, last] of spans) for (let index = first; index <= last; index += 1) each[index] = read(name);
  }
  return each;
}

// The bench's word { sorted: {index: unit}, spoiled: [index], waits: {index: run} } after taps that it has not counted.
// `mine` knows of this page's own scans, by the id of the tap, which piece it was and with which unit it lay before.
/**
 * @template {Sorted & { spoiled: number[] }} W
 * @param {W} word
 * @param {Told[]} taps
 * @param {Map<string, { piece: number, before?: number }>} [mine]
 */
export function layOver(word, taps, mine = new Map()) {
  const undone = taps.filter((one) => one.kind === "undo").map((one) => one.body.event);
  const sorted = { ...word.sorted };
  for (const one of taps) if (one.kind === "piece sorted" && !undone.includes(one.id)) sorted[one.body.piece] = one.body.unit;
  for (const id of undone) {
    const scan = mine.get(id);
    if (scan?.before) sorted[scan.piece] = scan.before;
    else if (scan) delete sorted[scan.piece];
  }
  return { ...word, sorted, spoiled: new Set(word.spoiled) };
}

// What a read code means here: { kind, piece?, words }. Only kind "place" is to be put somewhere and sent.
// `jobs` has the names of other jobs by their numbers; `lacks` says of a number whether its piece may yet come.
/**
 * @param {import("./piece-code.js").Code} read
 * @param {{ job: string, byIndex: Map<number, Piece>, state: Lying, jobs?: Record<string, string>, lacks?: (index: number) => boolean }} page
 * @returns {{ kind: "misread" | "wrong" | "spare" | "double" | "place", piece?: Piece, words: string }}
 */
export function judge(read, { job, byIndex, state, jobs = {}, lacks = () => false }) {
  if (read.index === undefined) return { kind: "misread", words: read.fault ?? "" };
  if (read.job === "0") return { kind: "wrong", words: "This is the label of an offcut. It belongs on the shelf." };
  if (read.job !== job) return { kind: "wrong", words: `This piece belongs to another job, ${jobs[read.job] ? `“${jobs[read.job]}”, ` : ""}number ${read.job}. Put it aside.` };
  const piece = byIndex.get(read.index);
  if (!piece && lacks(read.index)) return { kind: "misread", words: "This part of the list of pieces has not come to this phone yet. Scan it again when the bench is in reach." };
  if (!piece) return { kind: "wrong", words: "There is no such piece in this job any more. Print its label anew." };
  if (state.spoiled.has(piece.index)) return { kind: "wrong", piece, words: "This one went wrong and is to be made again. It goes to no unit." };
  if (!piece.unit) return { kind: "spare", piece, words: "A spare: it belongs to no unit." };
  const lies = state.sorted[piece.index];
  if (lies === piece.unit) return { kind: "double", piece, words: `It lies with unit ${piece.unit} already.` };
  if (lies) return { kind: "place", piece, words: `It lay with unit ${lies}: take it to unit ${piece.unit}.` };
  const waits = state.waits[piece.index];
  return { kind: "place", piece, words: waits ? `By the counts it still waits for ${waits}.` : "" };
}

// Every unit in order: { unit, total, here, missing: [{ piece, why }] }.
/** @param {Piece[]} pieces @param {Lying} state */
export function unitsOf(pieces, state) {
  /** @type {Map<number, Unit>} */
  const units = new Map();
  for (const piece of pieces) {
    if (!piece.unit) continue;
    const unit = units.get(piece.unit) ?? { unit: piece.unit, total: 0, here: 0, missing: [] };
    units.set(piece.unit, unit);
    unit.total += 1;
    if (state.sorted[piece.index] === piece.unit) unit.here += 1;
    else unit.missing.push({ piece, why: whyMissing(piece, state) });
  }
  return [...units.values()].sort((one, other) => one.unit - other.unit);
}

// Missing pieces of one name that wait for the same thing, drawn together: { pieces, name, why }.
/** @param {Missing[]} missing */
export function alike(missing) {
  /** @type {Map<string, { pieces: Piece[], name: string, why: string }>} */
  const drawn = new Map();
  for (const { piece, why } of missing) {
    const key = `${piece.name}|${why}`;
    const line = drawn.get(key) ?? { pieces: [], name: piece.name, why };
    line.pieces.push(piece);
    drawn.set(key, line);
  }
  return [...drawn.values()];
}

/** @param {Piece} piece @param {Lying} state */
function whyMissing(piece, state) {
  const waits = state.waits[piece.index];
  if (state.spoiled.has(piece.index)) return waits ? `to be made again, at ${waits}` : "to be made again";
  if (state.sorted[piece.index]) return `lies with unit ${state.sorted[piece.index]}`;
  return waits ? `at ${waits}` : "ready";
}

// In one sentence how far sorting is.
/** @param {Unit[]} units */
export function summary(units) {
  const lacking = units.filter((unit) => unit.missing.length);
  if (!lacking.length) return units.length === 1 ? "The unit is complete." : `All ${units.length} units are complete.`;
  const missing = lacking.reduce((sum, unit) => sum + unit.missing.length, 0);
  return `${missing} ${missing === 1 ? "piece is" : "pieces are"} missing in ${lacking.length} of ${units.length} units.`;
}
