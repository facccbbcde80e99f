// A page with one list in an editor: its settings beside it, saved as one goes, told when another window was first.
import "./elements/list-editor.js";
import { DraftKeeper } from "./draft-keeper.js";
import { element } from "./list-view.js";
import { marksOf, renamed, savingWords } from "./logic/draft.js";
import { ask, post } from "./wire.js";

const start = JSON.parse(document.getElementById("draft").textContent);
const editor = document.querySelector("list-editor");
const form = document.querySelector("form.settings");
const fields = /** @type {HTMLInputElement[]} */ ([...(form?.elements ?? [])]);
const say = (name) => document.querySelector(`[data-say=${name}]`);

let wasSaved = true;
let marks = new Map(); // of the rows as the bench has them
const keeper = new DraftKeeper(start, {
  told: (answer, keys, { rows }) => {
    editor.hear(answer, keys);
    if (answer.version) marks = marksOf(rows, keys, answer.readings);
    tell(answer);
  },
  rewritten: (rows, keys, draft) => {
    editor.retype(keys, draft.rows, rows);
    say("news").textContent = "What stood there keeps its unit, which is written behind it now. What you write from here on is read in the other one.";
  },
  state: (standing) => {
    const line = say("saving");
    line.textContent = savingWords(standing);
    line.classList.toggle("care", Boolean(standing.failures || standing.conflict || standing.refused));
    document.querySelector("[data-conflict]").hidden = !standing.conflict;
    if (!standing.unsaved && !wasSaved) document.dispatchEvent(new CustomEvent("saved"));
    wasSaved = !standing.unsaved;
  },
  elsewhere: async () => {
    const now = await ask(`${start.address}/now`);
    if (now.ok) take(now.data, "Changed in another window; this is how it stands now.");
  },
});

editor.start(start);
know(start);
tell(start.answer);
const kept = new URLSearchParams(location.search).has("look") ? undefined : await keeper.kept(start);
if (kept) {
  editor.replace(kept.rows);
  if (kept.settings) fill(kept.settings);
  say("news").textContent = "What was typed here last time had not reached the bench; it is back and is being saved.";
  changed();
}

editor.addEventListener("typing", () => send("typing"));
editor.addEventListener("edited", changed);
editor.addEventListener("overflow", ({ detail }) => {
  say("news").textContent = `${detail} ${detail === 1 ? "column" : "columns"} did not fit beside and ${detail === 1 ? "was" : "were"} left out.`;
});
editor.addEventListener("pasted", (event) => {
  const { text, block } = event.detail;
  if (!form || block.length < 2 || block[0].length < 2 || block[0].some((cell) => /\d/.test(cell))) return;
  event.preventDefault(); // a first row without a figure may name the columns: the bench knows
  post(`${start.address}/pasted`, { text }).then(({ data }) => (data?.rows ? editor.addFilled(data.rows) : editor.putDown(block)));
});
form?.addEventListener("input", () => send("typing"));
form?.addEventListener("change", changed);
form?.addEventListener("submit", (event) => event.preventDefault());

document.querySelector("[data-conflict]").addEventListener("click", async (event) => {
  const choice = event.target.closest("button")?.value;
  if (!choice) return;
  const now = await ask(`${start.address}/now`);
  if (!now.ok) return;
  if (choice === "mine") return keeper.goOnFrom(now.data.version);
  keeper.dropped(now.data.version);
  take(now.data, "This is what the other window saved. Undo brings back what you typed.");
});

function settings() {
  return form && Object.fromEntries([...new FormData(form)].map(([name, value]) => [name, String(value)]));
}

function fill(values) {
  for (const field of fields) {
    if (!(field.name in values)) continue;
    if (field.type === "radio") field.checked = field.value === values[field.name];
    else field.value = values[field.name];
  }
}

function send(how) {
  const { rows, keys } = editor.draft;
  keeper[how](form ? { rows, settings: settings(), marks: renamed(marks, rows, keys) } : { rows }, keys);
}

function know(now) {
  const { rows, keys } = editor.draft;
  if (form) marks = marksOf(rows, keys, now.answer.readings);
}

function changed() {
  const title = document.querySelector("body > header h1");
  if (form && title) title.textContent = fields.find((field) => field.name === "name").value.trim() || "Job without a name";
  send("changed");
}

// Takes over what the bench holds; only said when it is something else than what stands here.
function take(now, words) {
  if (JSON.stringify(now.rows) !== JSON.stringify(editor.draft.rows)) {
    const { keys } = editor.replace(now.rows);
    editor.hear(now.answer, keys);
    know(now);
    say("news").textContent = words;
  }
  if (now.settings) fill(now.settings);
  keeper.goOnFrom(now.version);
  tell(now.answer);
}

function tell({ faults, elsewhere, summary }) {
  say("summary").textContent = summary;
  const whole = faults.filter((fault) => !fault.table);
  for (const field of fields) {
    const at = whole.find((fault) => fault.field === field.name);
    if (!field.name || field.type === "radio") continue;
    field.ariaInvalid = at ? "true" : null;
    const beside = document.getElementById(`${field.id}-fault`);
    if (beside) beside.textContent = at ? `${at.what}; ${at.next_step}` : "";
  }
  const rest = whole.filter((fault) => !form?.elements[fault.field]).map((fault) => `${fault.field}: ${fault.what}; ${fault.next_step}`);
  const there = elsewhere.map(({ where, mend, words }) => element("li", {}, element("a", { href: mend }, where), ` ${words}`));
  say("elsewhere").replaceChildren(...rest.map((words) => element("li", {}, words)), ...there);
  say("elsewhere").parentElement.hidden = !rest.length && !elsewhere.length;
}
