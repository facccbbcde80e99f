// What comes next at a run: set the stops, prove them with a trial piece, count, finish; and what is still missing.
import { AS_THE_SHEET_SAYS, changeFrom, movedStops } from "./machines.js";
import { UNTOUCHED, isBegun } from "./standing.js";

/** @typedef {"change" | "set" | "trial" | "count" | "finish" | "done"} Phase */
/** @typedef {Line & { count: number }} Missing  pieces of a line that are not cut yet */

// As many as were counted; more than were wanted is shown, never hidden.
/** @param {Pick<Line, "slot">} piece @param {Pick<RunState, "cut">} state */
export function cutOf(piece, state) {
  return state.cut[piece.slot] ?? 0;
}

// Lines of pieces with more counted than wanted, in words: two phones at the last piece, or one too many was cut.
/** @param {Run} run @param {RunState} [state] */
export function overWords(run, state = UNTOUCHED) {
  const over = run.pieces.filter((piece) => cutOf(piece, state) > piece.need);
  if (!over.length) return "";
  const counted = over.map((piece) => `${cutOf(piece, state)} counted of ${piece.need} × ${piece.mark}${piece.mirrored ? " mirrored" : ""}`);
  return `${counted.join(", ")}: which? Count what lies there. If two of you counted the same piece, undo one; one that went wrong still has to be tapped as spoiled.`;
}

// Pieces not yet cut: [{ slot, mark, name, count }].
/** @param {Run} run @param {RunState} [state] @returns {Missing[]} */
export function missing(run, state = UNTOUCHED) {
  return run.pieces
    .map((piece) => ({ ...piece, count: piece.need - cutOf(piece, state) }))
    .filter((piece) => piece.count > 0);
}

// `unproved` are the stops that were moved since their trial piece.
/** @type {(one: TrialFacts, state: RunState, unproved: string[]) => boolean} */
const isOpen = (one, state, unproved) => one.asked && (unproved.includes(one.axis) || !state.trials.some((trial) => trial.axis === one.axis && trial.within));

// What can be measured, that which is asked for and not proved yet before the rest.
/** @param {Run} run @param {RunState} [state] @param {Machines} [machines] */
export function openFirst(run, state = UNTOUCHED, machines = AS_THE_SHEET_SAYS) {
  const unproved = machines.unproved[run.key] ?? [];
  return [...run.trials].sort((one, other) => Number(isOpen(other, state, unproved)) - Number(isOpen(one, state, unproved)));
}

// `past` says that the person chose to count without a trial piece; `machines` how they stand beside what the sheet says,
// `runs` all of it and `states` how they stand: a machine that is ready for something else, or a stop that was moved,
// comes first. What another job had cut `before` this one joined says nothing of where the stops stand now.
/**
 * @param {Run} run
 * @param {RunState} [state]
 * @param {boolean} [past]
 * @param {Machines} [machines]
 * @param {Run[]} [runs]
 * @param {States} [states]
 * @returns {Phase}
 */
export function phaseOf(run, state = UNTOUCHED, past = false, machines = AS_THE_SHEET_SAYS, runs = [run], states = { [run.key]: state }) {
  if (state.done) return "done";
  if (changeFrom(run, state, machines) !== undefined) return "change";
  const begun = isBegun(state);
  if ((!state.set && !begun) || movedStops(run, machines, runs, states).length) return "set";
  const unproved = machines.unproved[run.key] ?? [];
  const open = run.trials.filter((one) => isOpen(one, state, unproved));
  if (!past && (begun ? open.some((one) => unproved.includes(one.axis)) : open.length)) return "trial";
  return missing(run, state).length ? "count" : "finish";
}

// Runs that come before this one for the same pieces and are not done: [{ run, pieces }].
/** @param {Run} run @param {Run[]} runs @param {States} states */
export function notYet(run, runs, states) {
  return runs
    .filter((one) => run.before.includes(one.number) && !states[one.key]?.done)
    .map((one) => ({ run: one, pieces: missing(one, states[one.key]).filter((piece) => run.pieces.some((mine) => mine.marks.some((mark) => piece.marks.includes(mark)))) }))
    .filter((one) => one.pieces.length);
}

// The sentence for it: which runs, and the most that is missing of each part.
/** @param {{ run: Pick<Run, "number">, pieces: Missing[] }[]} open */
export function notYetWords(open) {
  /** @type {Map<string, Missing>} */
  const most = new Map();
  for (const piece of open.flatMap((one) => one.pieces)) {
    if (piece.count > (most.get(piece.slot)?.count ?? 0)) most.set(piece.slot, piece);
  }
  const numbers = open.map((one) => one.run.number);
  return `Before this, ${numbers.length > 1 ? "runs" : "run"} ${stretches(numbers)}: ${list([...most.values()])} not worked there yet.`;
}

// Numbers with neighbours drawn together: 1–3, 5.
/** @param {number[]} numbers */
export function stretches(numbers) {
  /** @type {[from: number, to: number][]} */
  const drawn = [];
  for (const number of numbers) {
    const last = drawn.at(-1);
    if (last && number === last[1] + 1) last[1] = number;
    else drawn.push([number, number]);
  }
  return drawn.map(([from, to]) => (from === to ? from : `${from}–${to}`)).join(", ");
}

// The next run that is not done: after this one, else from the start; undefined when all are done.
/** @param {number} number @param {Run[]} runs @param {States} states @returns {Run | undefined} */
export function nextRun(number, runs, states) {
  const open = runs.filter((one) => !states[one.key]?.done && one.number !== number);
  return open.find((one) => one.number > number) ?? open[0];
}

// One word or two for the list of runs; empty for a run that nobody has begun.
/** @param {Run} run @param {RunState} [state] */
export function saidOf(run, state = UNTOUCHED) {
  const over = overWords(run, state) ? ": which?" : "";
  if (state.done && !over) return "done";
  const need = run.pieces.reduce((sum, piece) => sum + piece.need, 0);
  const cut = run.pieces.reduce((sum, piece) => sum + cutOf(piece, state), 0);
  if (cut) return `${state.done ? "done, but " : ""}${cut} of ${need} cut${over}`;
  return state.set ? "set" : "";
}

// Taps that are corrected in a way of their own, if at all.
const NOT_COUNTED = new Set(["piece measured", "reading noted", "run noted", "run pictured"]);

// The tap that undo would take back: the last one that counts for something, undefined when there is none.
/** @param {RunState} [state] */
export function undoable(state = UNTOUCHED) {
  return state.taps.findLast((one) => !NOT_COUNTED.has(one.kind));
}

// Whose tap that is: "" for one's own, the name of the other device as this page knows it.
/** @param {Pick<LastTap, "device">} tap @param {{ me: string, devices: Record<string, string> }} people */
export function whose({ device }, { me, devices }) {
  return device === undefined || device === me ? "" : devices[device] ?? "another phone";
}

/** @param {Pick<LastTap, "kind" | "slot" | "count" | "axis">} tap */
export function undoWords({ kind, slot = "", count, axis }) {
  if (kind === "stop made") return axis;
  if (kind === "piece cut") return `${count} × ${slot.replace("~", " mirrored")}`;
  if (kind === "piece spoiled") return `spoiled ${slot.replace("~", " mirrored")}`;
  return { "stop set": "the stop is set", "machine made ready": "the machine is ready", "machine used": "what was moved", "run done": "run done", "run reopened": "run opened again" }[kind] ?? kind;
}

// What is asked before all that is missing is counted and the run is done with it.
/** @param {Run} run @param {RunState} [state] */
export function wholeWords(run, state = UNTOUCHED) {
  const left = missing(run, state).reduce((sum, piece) => sum + piece.count, 0);
  const begun = run.pieces.some((piece) => cutOf(piece, state) > 0);
  return `${begun ? `The other ${left}` : left === 1 ? "It is" : `All ${left}`} cut, run done? Tap again`;
}

// What a finish too early is answered with.
/** @param {Missing[]} left */
export function notAllCut(left) {
  const total = left.reduce((sum, piece) => sum + piece.count, 0);
  return `Not cut: ${left.length > 2 ? `${total} pieces` : list(left)}. Tap again to finish`;
}

/** @param {Missing[]} pieces */
export function list(pieces) {
  return pieces.map(oneOf).join(", ");
}

// "4 × A mirrored"; a single board or strip is called by its name alone: "board 3".
/** @param {Missing} line */
function oneOf({ count, mark, marks, mirrored }) {
  const alone = count === 1 && !marks.includes(mark);
  return `${alone ? "" : `${count} × `}${mark}${mirrored ? " mirrored" : ""}`;
}
