// What stands around a run: the head with its rule, the list of all runs, the foot. Idempotent.
import { isAsking } from "./guard.js";
import { nextRun, saidOf } from "./logic/phase.js";
import { leftWords, minutesLeft } from "./logic/time-left.js";
import { keep, read } from "./remembered.js";
import { hide, write } from "./written.js";

const STANDS = "stopwright station";

// The head of `root` for the run on the screen, undefined for the list.
/** @param {HTMLElement} root @param {{ sheet: Sheet, run?: Run, states: States }} now */
export function updateHead(root, { sheet, run, states }) {
  write(root.querySelector("[data-say=title]"), run?.title ?? sheet.name);
  write(root.querySelector("[data-say=turn]"), run ? `run ${run.number} of ${sheet.runs.length}` : "");
  const title = run ? `${run.number} ${run.title}` : sheet.name;
  if (document.title !== title) document.title = title;
  const rule = root.querySelector("[data-rule]");
  rule.querySelectorAll("rect").forEach((mark, place) => {
    mark.classList.toggle("done", Boolean(states[sheet.runs[place].key]?.done));
    mark.classList.toggle("now", sheet.runs[place] === run);
  });
  const done = `${sheet.runs.filter((one) => states[one.key]?.done).length} of ${sheet.runs.length} runs done`;
  if (rule.ariaLabel !== done) rule.ariaLabel = done;
}

// The list: how each run stands, and who is at it (`others` by number).
/** @param {HTMLElement} list @param {{ sheet: Sheet, states: States, others: (number: number) => string[] }} now */
export function updateList(list, { sheet, states, others }) {
  const next = nextRun(0, sheet.runs, states);
  write(list.querySelector("[data-say=left]"), leftWords(minutesLeft(sheet.runs, states)));
  const byNumber = new Map(sheet.runs.map((run) => [run.number, run]));
  for (const station of list.querySelectorAll("[data-station]")) {
    const runs = sheet.runs.filter((run) => run.station === station.dataset.station);
    const names = [...new Set(runs.flatMap((run) => others(run.number)))];
    const words = [`${runs.filter((run) => states[run.key]?.done).length} of ${runs.length} done`, runs.includes(next) ? `next: run ${next.number}` : "", names.length ? `at it: ${names.join(", ")}` : ""];
    write(station.querySelector("[data-say=station]"), words.filter(Boolean).join(" · "));
  }
  for (const link of list.querySelectorAll("[data-number]")) {
    const run = byNumber.get(Number(link.dataset.number));
    const said = saidOf(run, states[run.key]);
    const who = others(run.number);
    const box = link.querySelector("[data-say=state]");
    write(box, [run === next ? "next" : "", said, who.length ? `at it: ${who.join(", ")}` : ""].filter(Boolean).join(" · "));
    box.classList.toggle("done", said.startsWith("done"));
    box.classList.toggle("begun", Boolean(said) && !said.startsWith("done"));
    link.classList.toggle("now", run === next);
  }
}

// Remembers on this phone where one stands, and opens the list there: at `station`, else where one stood last, else where
// the next run is. Answers what was opened.
/** @param {HTMLElement} list @param {string} [station] @param {string} [next] @returns {HTMLDetailsElement | undefined} */
export function openStation(list, station, next) {
  const stands = station ?? read(STANDS);
  if (station) keep(STANDS, station);
  const all = [...list.querySelectorAll("details[data-station]")];
  const at = all.find((one) => one.dataset.station === stands) ?? all.find((one) => one.dataset.station === next) ?? all[0];
  for (const one of all) one.open = one === at;
  return at;
}

// The foot: what the big button does, which depends on what comes next. `setWords` says that the stop at hand is set;
// `awaited` is the number of a run that was chosen and whose screen is still to come, else 0.
/**
 * @param {HTMLElement} foot
 * @param {{ run?: Run, runs: Run[], states: States, phase: string, setWords: string, awaited: number }} now
 */
export function updateFoot(foot, { run, runs, states, phase, setWords, awaited }) {
  const button = foot.querySelector("button[data-do=go]");
  hide(foot.querySelector(".all"), !run);
  hide(foot.querySelector("[data-do=whole]"), !["trial", "count"].includes(phase));
  if (isAsking(button)) return;
  button.disabled = Boolean(awaited);
  const next = nextRun(run?.number ?? 0, runs, states);
  const goes = next ? `Next: ${next.number}, ${next.title.toLowerCase()}` : "All runs are done";
  let words = next ? `Go on with run ${next.number}` : goes;
  if (run) words = { change: `The ${run.station} is ready`, set: setWords, trial: states[run.key]?.trials.length ? "Measure another piece" : "Measure the trial piece", count: "Run done", finish: "Run done", done: goes }[phase];
  write(button, awaited ? `Loading run ${awaited}` : words);
  button.classList.toggle("go", phase !== "count");
}
