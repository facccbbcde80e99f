// What the board says of each station: the run that is worked there, who is at it, and how far it is.
import { cutOf } from "./phase.js";
import { UNTOUCHED } from "./standing.js";

/** @typedef {Pick<Run, "key" | "number" | "station" | "pieces">} BoardRun  what of a run the board has to know */

// One entry a station, in the order of the sheet: { station, run, who, phase, left, need, done, of }. The run is the one
// that somebody there has open, else one that is begun, else the next; undefined where all are done.
/** @param {BoardRun[]} runs @param {States} states @param {Pick<Here, "name" | "run">[]} here */
export function stationsNow(runs, states, here) {
  const names = [...new Set(runs.map((one) => one.station))];
  return names.map((station) => {
    const mine = runs.filter((one) => one.station === station);
    const open = mine.filter((one) => !states[one.key]?.done);
    /** @type {(run: BoardRun) => string[]} */
    const at = ({ number }) => here.filter((one) => one.run === number).map((one) => one.name);
    const run = open.find((one) => at(one).length) ?? open.find((one) => isBegun(states[one.key])) ?? open[0];
    const who = [...new Set(mine.flatMap(at))];
    const done = mine.length - open.length;
    if (!run) return { station, run, who, phase: "done", left: 0, need: 0, done, of: mine.length };
    const state = states[run.key] ?? UNTOUCHED;
    const need = run.pieces.reduce((sum, piece) => sum + piece.need, 0);
    const left = run.pieces.reduce((sum, piece) => sum + Math.max(0, piece.need - cutOf(piece, state)), 0);
    return { station, run, who, phase: state.set || left < need ? "count" : "set", left, need, done, of: mine.length };
  });
}

/** @param {RunState} [state] */
function isBegun(state = UNTOUCHED) {
  return state.set || state.made.length > 0 || Object.values(state.cut).some((count) => count > 0);
}
