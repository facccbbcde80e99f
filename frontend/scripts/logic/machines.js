// How the machines stand beside what the sheet says: what was moved or lost in a changeover, and what they are ready for.
// The bench folds the same (`store/machine_fold.py`).

import { UNTOUCHED, isBegun } from "./standing.js";

/** @type {Readonly<Machines>} */
export const AS_THE_SHEET_SAYS = Object.freeze({ moved: {}, ready: {}, unproved: {} });

/** @type {(station: string, axis: string) => string} */
export const stopName = (station, axis) => `${station}\n${axis}`;

// After taps that the bench has not counted, in order. What was handed in stays as it is; `states` is how the runs of the
// sheet stand, by key.
/** @param {Machines | undefined} machines @param {Told[]} taps @param {States} states @param {Run[]} runs */
export function layMachines(machines = AS_THE_SHEET_SAYS, taps, states, runs) {
  const undone = new Set(taps.filter((one) => one.kind === "undo").map((one) => one.body.event));
  const after = structuredClone(machines);
  for (const { id, kind, body } of taps) if (!undone.has(id)) lay(after, kind, body, states, runs);
  return after;
}

/** @param {Machines} machines @param {string} kind @param {Details} body @param {States} states @param {Run[]} runs */
function lay({ moved, ready, unproved }, kind, body, states, runs) {
  if (kind === "machine made ready") ready[body.machine] = body.to;
  if (kind === "machine used" && body.ready) ready[body.machine] = body.ready;
  for (const [station, axis] of { "machine made ready": body.lost, "machine used": body.moved }[kind] ?? []) {
    moved[stopName(station, axis)] = { since: [], made: [] };
    for (const { key } of runs.filter((run) => run.station === station)) {
      if (states[key]?.trials.some((one) => one.axis === axis)) unproved[key] = [...new Set([...(unproved[key] ?? []), axis])];
    }
  }
  if (kind === "piece measured") unproved[body.run] = (unproved[body.run] ?? []).filter((axis) => axis !== body.axis);
  if (kind === "stop made") for (const one of Object.values(moved)) one.made.push(body.run);
  if (kind === "stop set") for (const [axis, place] of body.stops) moved[stopName(body.station, axis)]?.since.push([body.run, place]);
}

// The stops of a run that were set for it, moved or lost since, and do not stand where it needs them: their axes. A stop
// that by the sheet an earlier run sets, which nobody has set yet, is as the sheet says.
/** @param {Run} run @param {Pick<Machines, "moved">} machines @param {Run[]} runs @param {States} states */
export function movedStops(run, { moved }, runs, states) {
  if (!Object.keys(moved).length) return [];
  return run.about.stops.filter(([axis, place]) => {
    const one = moved[stopName(run.station, axis)];
    if (!one || one.since.some(([key, there]) => there === place || sameMark(run, runs.find((other) => other.key === key), axis))) return false;
    const sets = runs.findLast((other) => other.number <= run.number && sameMark(run, other, axis) && other.scales.some((scale) => scale.axis === axis && scale.set));
    return !sets || Boolean(states[sets.key]?.set || states[sets.key]?.done);
  }).map(([axis]) => axis);
}

/** @type {(run: Run | undefined, axis: string) => Place | undefined} */
const at = (run, axis) => run?.scales.find((one) => one.axis === axis)?.at;

/** @type {(run: Run, other: Run | undefined, axis: string) => boolean} */
const sameMark = (run, other, axis) => other?.station === run.station && at(other, axis) === at(run, axis);

// Stops of a run that somebody has to make now: those of the sheet, and what was moved.
/** @param {Run} run @param {Machines} machines @param {Run[]} runs @param {States} states */
export function stopsLeft(run, machines, runs, states) {
  const state = states[run.key] ?? UNTOUCHED;
  const moved = new Set(movedStops(run, machines, runs, states));
  /** @type {(axis: string) => boolean} */
  const made = (axis) => machines.moved[stopName(run.station, axis)].made.includes(run.key);
  return run.scales.filter((one) => (moved.has(one.axis) ? !made(one.axis) : one.set && !state.set && !state.made.includes(one.axis))).map((one) => one.axis);
}

// For which station the machine of a run stands ready, as far as that matters: undefined where nothing is to be done.
/** @param {Run} run @param {RunState} state @param {Pick<Machines, "ready">} machines */
export function changeFrom(run, state, { ready }) {
  if (!run.machine || state.done) return undefined;
  const now = ready[run.machine];
  if (now !== undefined) return now === run.station ? undefined : now;
  return state.set || isBegun(state) ? undefined : run.change?.from;
}

// What stands at the stations of a machine by what was set last, in the order of the sheet: [{ station, axis, place, name, texts }].
/** @param {string[]} stations @param {Run[]} runs @param {States} states @param {Machines} machines */
export function standing(stations, runs, states, machines) {
  const found = new Map();
  for (const run of runs) {
    if (!stations.includes(run.station) || !states[run.key]?.set) continue;
    const gone = new Set(movedStops(run, machines, runs, states));
    for (const [axis, place] of run.about.stops) {
      const stop = run.scales.find((one) => one.axis === axis);
      if (stop && !gone.has(axis)) found.set(stopName(run.station, axis), { station: run.station, axis, place, name: stop.name, texts: stop.texts });
    }
  }
  return [...found.values()];
}

// What is said of it: whose setting goes, counted.
/** @param {string[]} moved @param {string[]} lost */
export function goesWords(moved, lost) {
  const count = new Set([...moved, ...lost]).size;
  if (!count) return "Everything stays as it stands.";
  return `${count === 1 ? "One stop" : `${count} stops`} will not stand any more: the next run that needs ${count === 1 ? "it" : "one of them"} shows it to be set again.`;
}
