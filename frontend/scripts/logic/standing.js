// How the runs stand on this phone: as the bench last said, with the taps laid over it that the bench has not counted.
import { slotOf } from "./tap.js";

/** @type {Readonly<RunState>} */
export const UNTOUCHED = Object.freeze({ set: false, made: [], done: false, proved: false, cut: {}, before: {}, spoiled: {}, taps: [], trials: [], readings: {}, notes: [] });

// Whether anything was cut since the stops of a run were set for all whose it is.
/** @type {(state: Pick<RunState, "cut"> & { before?: Counts }) => boolean} */
export const isBegun = (state) => Object.entries(state.cut).some(([slot, count]) => count > (state.before?.[slot] ?? 0));

// Runs by key after the taps, in order. The runs handed in stay as they are.
/** @param {States} runs @param {Told[]} taps @returns {States} */
export function layOver(runs, taps) {
  const undone = new Set(taps.filter((one) => one.kind === "undo").map((one) => one.body.event));
  const after = new Map(Object.entries(runs).map(([key, run]) => [key, copy(run)]));
  for (const run of after.values()) takeBack(run, undone);
  for (const one of taps) {
    const key = one.body.run;
    if (one.kind === "undo" || undone.has(one.id) || key === undefined) continue;
    const run = after.get(key) ?? copy(UNTOUCHED);
    lay(run, one);
    after.set(key, run);
  }
  for (const { cut } of after.values()) for (const slot of Object.keys(cut)) cut[slot] = Math.max(0, cut[slot]);
  return Object.fromEntries(after);
}

/** @param {Readonly<RunState>} run @returns {RunState} */
function copy(run) {
  return { ...UNTOUCHED, ...run, made: [...(run.made ?? [])], cut: { ...run.cut }, spoiled: { ...run.spoiled }, taps: [...run.taps], trials: [...run.trials], notes: [...(run.notes ?? [])], readings: { ...run.readings } };
}

/** @param {RunState} run @param {Set<string>} undone */
function takeBack(run, undone) {
  const back = run.taps.filter((one) => undone.has(one.id));
  run.taps = run.taps.filter((one) => !undone.has(one.id));
  run.notes = run.notes.filter((one) => !undone.has(one.id));
  for (const { kind, slot = "", count = 0, counted, axis } of back) {
    if (kind === "piece cut") add(run.cut, slot, -count);
    if (kind === "piece spoiled") {
      add(run.spoiled, slot, -count);
      if (counted) add(run.cut, slot, count);
    }
    if (kind === "run done") run.done = false;
    if (kind === "run reopened") run.done = true;
    if (kind === "stop made" && !run.taps.some((one) => one.kind === kind && one.axis === axis)) run.made = run.made.filter((one) => one !== axis);
    if (kind === "stop set") run.set = run.taps.some((one) => one.kind === "stop set");
  }
}

/** @param {RunState} run @param {Told} tap */
function lay(run, { id, kind, body }) {
  const slot = body.mark === undefined ? "" : slotOf(body);
  const counted = body.counted !== false;
  run.taps.push({ id, kind, slot, count: body.count ?? 0, counted, axis: body.axis });
  if (kind === "stop made" && !run.made.includes(body.axis)) run.made.push(body.axis);
  if (kind === "stop set") run.set = true;
  if (kind === "piece cut") add(run.cut, slot, body.count);
  if (kind === "piece spoiled") {
    add(run.spoiled, slot, body.count);
    // What was counted beyond what was wanted is no piece that lies there: the spoiled one is missed all the same.
    if (counted && body.need) run.cut[slot] = Math.min(run.cut[slot] ?? 0, body.need);
    if (counted) add(run.cut, slot, -body.count);
  }
  if (kind === "run noted") run.notes.push({ id, text: body.text, picture: false });
  if (kind === "run pictured") run.notes.push({ id, text: "", picture: true, waiting: true });
  if (kind === "run done") run.done = true;
  if (kind === "run reopened") run.done = false;
  if (kind === "piece measured") run.trials.push({ axis: body.axis, waiting: true, text: body.text });
}

/** @param {Counts} counts @param {string} slot @param {number} count */
function add(counts, slot, count) {
  counts[slot] = (counts[slot] ?? 0) + count;
}

// Taps the bench has not counted yet: those kept here, less what the bench's last word already includes.
/** @template {{ id: string, seq?: number }} T @param {T[]} kept @param {number} seq @param {Set<string>} known */
export function uncounted(kept, seq, known) {
  return kept.filter((one) => !known.has(one.id) && !(one.seq && one.seq <= seq));
}
