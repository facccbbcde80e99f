// What the scales really read where a stop stands: a trial piece that corrected it in one run holds in all later runs
// until it is set again. The bench's pages fold by the same rule (`web/phone/scale_reads.py`).

// By axis, for the stops of `run` that stand as an earlier run left them: { nm, texts, since } with `since` the number
// of the run that corrected it; axes that read what the sheet says are left out. `states` by the run's key.
/** @param {Run} run @param {Run[]} runs @param {States} states */
export function scaleReads(run, runs, states) {
  /** @type {Record<string, Reading & { since: number }>} */
  const found = {};
  for (const stop of run.scales) {
    if (stop.set) continue;
    for (const one of runs.filter((other) => other.number < run.number && other.station === run.station)) {
      const there = one.scales.find((other) => other.axis === stop.axis && other.at === stop.at);
      if (!there) continue;
      if (there.set) delete found[stop.axis];
      const read = states[one.key]?.readings?.[stop.axis];
      if (read) found[stop.axis] = { ...read, since: one.number };
    }
    if (found[stop.axis]?.nm === stop.reads) delete found[stop.axis];
  }
  return found;
}
