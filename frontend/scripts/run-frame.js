// What stands around a run: the head with its rule, the list of all runs. Idempotent.
import { nextRun, saidOf } from "./logic/phase.js";

// The head of `root` for the run on the screen, undefined for the list.
export function updateHead(root, { sheet, run, states }) {
  root.querySelector("[data-say=title]").textContent = run?.title ?? sheet.name;
  root.querySelector("[data-say=turn]").textContent = run ? `run ${run.number} of ${sheet.runs.length}` : "";
  document.title = run ? `${run.number} ${run.title}` : sheet.name;
  const rule = root.querySelector("[data-rule]");
  rule.querySelectorAll("rect").forEach((mark, place) => {
    mark.classList.toggle("done", Boolean(states[sheet.runs[place].key]?.done));
    mark.classList.toggle("now", sheet.runs[place] === run);
  });
  rule.ariaLabel = `${sheet.runs.filter((one) => states[one.key]?.done).length} of ${sheet.runs.length} runs done`;
}

// The list: how each run stands, and who is at it (`others` by number).
export function updateList(list, { sheet, states, others }) {
  const next = nextRun(0, sheet.runs, states);
  for (const link of list.querySelectorAll("[data-number]")) {
    const run = sheet.runs.find((one) => one.number === Number(link.dataset.number));
    const said = saidOf(run, states[run.key]);
    const who = others(run.number);
    const box = link.querySelector("[data-say=state]");
    box.textContent = [run === next ? "next" : "", said, who.length ? `at it: ${who.join(", ")}` : ""].filter(Boolean).join(" · ");
    box.className = `state ${said.startsWith("done") ? "done" : said ? "begun" : ""}`;
    link.classList.toggle("now", run === next);
  }
}
