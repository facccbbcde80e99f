// What has changed at the run on the screen, in words for who does not look: told by the page's live line.
import { cutOf } from "./phase.js";

/** @typedef {import("./phase.js").Phase} Phase */
/** @typedef {{ key: string, phase: Phase, counts: [name: string, cut: number, need: number][] }} Standing */

const PHASES = { change: "Make the machine ready", set: "Set the stops", trial: "Measure the trial piece", count: "Ready to count", finish: "All are cut", done: "This run is done" };

// How a run stands, as far as it is told of; `key` tells runs apart.
/** @type {(run: Pick<Run, "key" | "pieces">, state: RunState, phase: Phase) => Standing} */
export const standingOf = (run, state, phase) => ({ key: run.key, phase, counts: run.pieces.map((piece) => [`${piece.mark}${piece.mirrored ? " mirrored" : ""}`, cutOf(piece, state), piece.need]) });

// "" where it is another run, which says itself by its heading, or nothing has changed.
/** @param {Standing | undefined} before @param {Standing} after */
export function told(before, after) {
  if (!before || before.key !== after.key) return "";
  const counted = after.counts.filter(([, cut], place) => cut !== before.counts[place][1]).map(([name, cut, need]) => `${name}: ${cut} of ${need}`);
  const phase = after.phase === before.phase ? "" : PHASES[after.phase];
  return [...counted, phase].filter(Boolean).join(". ");
}
