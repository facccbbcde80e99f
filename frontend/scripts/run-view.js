// Brings one run's screen in line with how things stand. Idempotent: it may be called as often as anybody likes.
import { isAsking } from "./guard.js";
import { length, setTexts } from "./lengths.js";
import { cutOf, notYet, notYetWords, overWords, phaseOf, undoWords, undoable, whose } from "./logic/phase.js";
import { changeFrom, movedStops, stopName, stopsLeft } from "./logic/machines.js";
import { scaleReads } from "./logic/scale-reads.js";
import { UNTOUCHED } from "./logic/standing.js";
import { hide, write } from "./written.js";

// `here` names who else has this run open, `people` all devices; `near` is the stop that stands large; `past` that nothing
// is to be measured; `machines` how they stand beside what the sheet says.
/**
 * @param {HTMLElement} section
 * @param {Run} run
 * @param {{ runs: Run[], states: States, machines: Machines, here: string[], people: Sheet, near: string, past: boolean }} now
 */
export function updateRun(section, run, { runs, states, machines, here, people, near, past }) {
  const state = states[run.key] ?? UNTOUCHED;
  const phase = phaseOf(run, state, past, machines, runs, states);
  section.dataset.phase = phase;
  say(section, "here", here.length ? `Also at this run: ${here.join(", ")}` : "");
  const open = phase === "done" ? [] : notYet(run, runs, states);
  say(section, "before", open.length ? notYetWords(open) : "");
  say(section, "done", phase === "done" ? "This run is done." : "");
  say(section, "over", overWords(run, state));
  const reads = scaleReads(run, runs, states);
  updateChange(section.querySelector("[data-say=change]"), run, changeFrom(run, state, machines), people.machines);
  updateStanding(section, state, reads);
  const left = stopsLeft(run, machines, runs, states);
  updateMoved(section, new Set(movedStops(run, machines, runs, states)));
  updateStops(section, state, reads, { near, left });
  updatePicture(section);
  updateTrial(section.querySelector("[data-say=trial]"), run, state, phase);
  show(section, "[data-do=unready]", phase === "set" && state.taps.at(-1)?.kind === "machine made ready");
  show(section, "[data-do=needed]", phase !== "done");
  for (const piece of run.pieces) updatePiece(section.querySelector(`[data-slot="${CSS.escape(piece.slot)}"]`), piece, state);
  const last = undoable(state);
  const undo = section.querySelector("button[data-do=undo]");
  hide(undo, phase === "done");
  undo.disabled = !last; // it keeps its place, so that its coming moves nothing
  const other = last ? whose(last, people) : "";
  if (last && !isAsking(undo)) write(undo, `Undo: ${undoWords(last)}${other ? ` of ${other}` : ""}`);
  show(section, "[data-do=measure]", phase === "count" || phase === "finish");
  show(section, "[data-do=past]", phase === "trial");
  const spoiled = run.pieces.some((piece) => state.spoiled[piece.slot] && cutOf(piece, state) < piece.need);
  for (const again of section.querySelectorAll("[data-say=again]")) hide(again, !spoiled);
  show(section, "[data-do=reopen]", phase === "done");
  return phase;
}

// What to do before the run where its machine is ready for another station: `machines` tells of every changeover.
function updateChange(box, run, from, machines) {
  hide(box, from === undefined);
  if (from === undefined || box.dataset.from === from) return;
  box.dataset.from = from;
  const { title, steps, cautions } = machines[run.machine].changes[stopName(from, run.station)];
  const told = run.change?.from === from ? run.change.leaves : [];
  const list = document.createElement("dl");
  for (const [head, ...words] of [...steps, ...told]) list.append(element("dt", head), ...words.map((one) => element("dd", ...one.flatMap((part) => (Array.isArray(part) ? [length(part)] : [part])))));
  const care = element("ul", ...cautions.map((one) => element("li", one)));
  care.className = "cautions plain";
  box.replaceChildren(element("h2", title), list, care);
}

function element(name, ...children) {
  const made = document.createElement(name);
  made.append(...children);
  return made;
}

// What a run's screen shows that is worth saying aloud: its stops as they read now, that the machine is to be changed over,
// and which stop is to be flipped away.
export function saidIn(section, run) {
  const figures = run.scales.map((stop) => [stop.name, section.querySelector(`.stop-set[data-axis="${CSS.escape(stop.axis)}"]:not([hidden]) .figure .heard`)]);
  const stops = figures.filter(([, figure]) => figure).map(([name, figure]) => ({ name, text: figure.textContent }));
  const beware = [...section.querySelectorAll(".changeover:not([hidden]) h2, .flip-away")].map((one) => one.textContent.trim());
  return { number: run.number, title: run.title, stops, beware };
}

// Stops that are left alone: what their scales read now, and since when if it is not what the sheet says.
function updateStanding(section, state, reads) {
  for (const number of section.querySelectorAll("[data-standing]")) {
    const axis = number.dataset.standing;
    const since = section.querySelector(`[data-since="${CSS.escape(axis)}"]`);
    const sheet = since.dataset.sheet.split("\n");
    const read = state.readings[axis] ?? reads[axis];
    const differs = Boolean(read) && read.texts[0] !== sheet[0];
    setTexts(number.querySelector(".length"), differs ? read.texts : sheet);
    hide(since, !differs);
    if (differs) since.replaceChildren(` corrected in ${read.since ? `run ${read.since}` : "this run"}; the sheet says `, length(sheet));
  }
}

// Stops that were moved since they were set are shown to be set, in place of what says that they stand.
function updateMoved(section, moved) {
  for (const stop of section.querySelectorAll(".stop-set.again")) hide(stop, !moved.has(stop.dataset.axis));
  const stood = section.querySelector(".stop-set.stood");
  if (stood) hide(stood, moved.has(stood.dataset.axis));
  for (const one of section.querySelectorAll("[data-stands]")) hide(one, moved.has(one.dataset.stands));
  for (const box of section.querySelectorAll(".stands-at.all-that-stands")) hide(box, ![...box.querySelectorAll("[data-stands]")].some((one) => !one.hidden));
}

function updateStops(section, state, reads, { near, left }) {
  const stops = [...section.querySelectorAll(".stop-set:not([hidden])")];
  for (const stop of stops) {
    const { axis } = stop.dataset;
    const isNear = stops.length === 1 || axis === near;
    stop.classList.toggle("near", isNear);
    if (stop.tagName === "BUTTON" && stop.ariaPressed !== String(isNear)) stop.ariaPressed = String(isNear);
    stop.classList.toggle("made", stops.length > 1 && !left.includes(axis));
    const figure = stop.querySelector(".figure");
    figure.dataset.sheet ??= figure.dataset.texts;
    const corrected = state.readings[axis] ?? reads[axis];
    const sheet = figure.dataset.sheet.split("\n");
    const differs = Boolean(corrected) && corrected.texts[0] !== sheet[0];
    setTexts(figure, differs ? corrected.mark ?? corrected.texts : sheet);
    const note = stop.querySelector("[data-say=corrected]");
    hide(note, !differs);
    hide(stop.querySelector("[data-say=cuts]"), differs);
    const where = corrected?.since ? `corrected in run ${corrected.since}; the sheet says` : stop.querySelector(".number").dataset.instead;
    const beside = corrected?.beside ? [length(corrected.beside.map((words) => words && `${words} than this mark; `))] : [];
    if (differs) note.replaceChildren(...beside, `${where} `, length(sheet));
  }
}

// The number in the picture is the one that stands large, or the one the scale reads where a stop stands.
function updatePicture(section) {
  for (const text of section.querySelectorAll(".drawn [data-reads]")) {
    const axis = CSS.escape(text.dataset.reads);
    const now = section.querySelector(`.stop-set[data-axis="${axis}"] .figure, [data-standing="${axis}"] .length`);
    if (now?.dataset.texts) setTexts(text, now.dataset.texts.split("\n"));
  }
}

function updateTrial(box, run, state, phase) {
  const trial = ["change", "set", "done"].includes(phase) ? undefined : state.trials.at(-1);
  const signature = trial ? JSON.stringify(trial) : "";
  hide(box, !trial);
  if (box.dataset.signature === signature) return;
  box.dataset.signature = signature;
  if (!trial) return;
  box.className = `trial notice ${trial.waiting ? "" : trial.within ? "good" : "care"}`;
  if (trial.waiting) {
    box.replaceChildren(`Measured ${trial.text}: kept. The corrected reading comes when the bench is in reach.`);
    return;
  }
  const measured = length(trial.measured);
  const facts = run.trials.find((one) => one.axis === trial.axis);
  const what = run.trials.length > 1 && facts ? `${facts.say}: ` : "";
  if (trial.within) {
    box.replaceChildren(`Proved: ${what}`, measured, trial.over ? ", within what is allowed." : ", spot on.");
    return;
  }
  const off = trial.over ? [", ", length(trial.off), trial.over > 0 ? " over" : " under"] : [];
  box.replaceChildren(what ? `Measured, ${what}` : "Measured ", measured, ...off);
  if (trial.judged || trial.over) box.append(`. Move ${facts?.called ?? "the stop"} to `, ...markOf(trial), " and measure another.");
  if (trial.advice) {
    const advice = document.createElement("p");
    advice.textContent = trial.advice;
    box.append(advice);
  }
}

// Where to move a stop: to a mark that its scale has, and how far beside it.
function markOf({ corrected, to }) {
  if (!to?.mark) return [strong(length(corrected))];
  return [length(to.beside.map((words) => (words ? "the mark " : ""))), strong(length(to.mark)), length(to.beside.map((words) => words && `, ${words},`))];
}

function updatePiece(item, piece, state) {
  const cut = cutOf(piece, state);
  const full = cut >= piece.need;
  item.classList.toggle("full", full);
  const spoiled = state.spoiled[piece.slot] ?? 0;
  write(item.querySelector("[data-say=cut]"), String(cut));
  const besides = item.querySelector("[data-say=besides]");
  write(besides, [cut > piece.need ? "which?" : "", spoiled ? `${spoiled} spoiled` : ""].filter(Boolean).join(", "));
  besides.classList.toggle("care", cut > piece.need);
  for (const button of item.querySelectorAll("[data-do=cut]")) {
    const count = Number(button.dataset.count);
    button.disabled = full || (count > 1 && piece.need - cut < count);
  }
}

function strong(child) {
  const made = document.createElement("b");
  made.append(child);
  return made;
}

function say(section, name, words) {
  const box = section.querySelector(`[data-say=${name}]`);
  hide(box, !words);
  write(box, words);
}

function show(section, selector, shown) {
  const one = section.querySelector(selector);
  if (one) hide(one, !shown);
}
