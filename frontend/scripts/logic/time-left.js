// How long the rest of a job takes by the minutes of its run sheet: runs that are done take none, a run that is counted
// half takes half.
import { cutOf } from "./phase.js";
import { UNTOUCHED } from "./standing.js";

/** @typedef {Pick<Run, "key" | "minutes" | "pieces">} Timed */

/** @param {Timed[]} runs @param {States} states */
export function minutesLeft(runs, states) {
  return runs.reduce((sum, run) => sum + run.minutes * shareLeft(run, states[run.key] ?? UNTOUCHED), 0);
}

/** @param {Timed} run @param {RunState} state */
function shareLeft(run, state) {
  if (state.done) return 0;
  const need = run.pieces.reduce((sum, piece) => sum + piece.need, 0);
  const cut = run.pieces.reduce((sum, piece) => sum + Math.min(cutOf(piece, state), piece.need), 0);
  return need ? 1 - cut / need : 1;
}

// In words no finer than the sheet knows: to the minute below ten, to five minutes above; "" for nothing.
/** @param {number} minutes */
export function leftWords(minutes) {
  if (minutes <= 0) return "";
  const rounded = minutes < 10 ? Math.ceil(minutes) : Math.ceil(minutes / 5) * 5;
  const [hours, rest] = [Math.floor(rounded / 60), rounded % 60];
  return `about ${[hours ? `${hours} h` : "", rest ? `${rest} min` : ""].filter(Boolean).join(" ")} left`;
}
