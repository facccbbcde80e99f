// How a run stands in words, and who is where, from what the bench tells. No length is in here.
/** @param {Partial<RunState> | undefined} run @param {number} need */
export function stateOf(run, need) {
  if (!run) return "";
  if (run.done) return "done";
  const cut = Object.values(run.cut ?? {}).reduce((sum, count) => sum + count, 0);
  if (cut) return `${cut} of ${need}`;
  return run.set ? "set" : "";
}

// The runs after a word of the live line; a word tells only what is new, unless it tells all.
/** @param {States} runs @param {Word} word */
export function merged(runs, word) {
  const after = word.all ? { ...word.runs } : { ...runs, ...word.runs };
  for (const key of word.gone ?? []) delete after[key];
  return after;
}

/** @param {number} done @param {number} all */
export function doneWords(done, all) {
  return `${done} of ${all} ${all === 1 ? "run" : "runs"} done`;
}

// One line a page, this one left out: { words, run } with run 0 for the list of runs.
/** @param {Here[]} here @param {string} page */
export function whoIsWhere(here, page) {
  return here
    .filter((one) => one.page !== page)
    .map(({ name, run }) => ({ run, words: run ? `${name}: run ${run}` : `${name}: list of runs` }));
}
