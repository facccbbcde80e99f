// The run sheet at the bench: how the runs stand and who is where, live; and how far a search is.
import { doneWords, merged, stateOf, whoIsWhere } from "./logic/sheet-progress.js";
import { DayTimes } from "./day-times.js";
import { ask, follow } from "./wire.js";

const LOOK = 700;
const AGAIN = 4000;

const place = document.getElementById("standing");
if (place) followRuns(JSON.parse(place.textContent));
const search = document.querySelector("[data-search]");
if (search) wait(search);

function followRuns(standing) {
  const page = `bench-${Math.random().toString(36).slice(2)}`;
  const rows = [...document.querySelectorAll("tr[data-key]")];
  let { runs } = standing;
  const times = new DayTimes(standing.job, document);
  let seq = standing.seq;
  let end = () => {};
  show(standing.here);

  function open() {
    end();
    end = follow(`/jobs/${standing.job}/live?run=0&page=${page}&after=${seq}`, {
      heard(word) {
        if (word.seq < seq) return;
        seq = word.seq;
        runs = merged(runs, word);
        show(word.here);
        times.soon();
        if (word.sheet !== standing.sheet) changed();
      },
      reached(reached) {
        if (!reached) setTimeout(() => document.visibilityState === "visible" && open(), AGAIN);
      },
    });
  }

  function show(here) {
    let done = 0;
    for (const row of rows) {
      const run = runs[row.dataset.key];
      if (run?.done) done += 1;
      say(row.querySelector("[data-say=state]"), stateOf(run, Number(row.dataset.need)));
      row.classList.toggle("done", Boolean(run?.done));
      document.querySelector(`.ruler [data-of="${row.dataset.number}"]`)?.classList.toggle("done", Boolean(run?.done));
    }
    say(document.querySelector("[data-say=done]"), doneWords(done, rows.length));
    const others = whoIsWhere(here, page);
    for (const row of rows) row.classList.toggle("here", others.some((one) => one.run === Number(row.dataset.number)));
    const list = document.querySelector("[data-say=here]");
    const words = others.map((one) => one.words).join("\n");
    if (list.dataset.words === words) return;
    list.dataset.words = words;
    list.replaceChildren(...others.map((one) => Object.assign(document.createElement("li"), { textContent: one.words })));
  }

  // The plan is made anew from what was changed elsewhere; nothing is typed here, so nothing is lost by loading it.
  function changed() {
    document.querySelector("[data-say=old]").hidden = false;
    if (!document.querySelector(".run-sheet details[open], .run-sheet select:focus")) location.reload();
  }

  addEventListener("pagehide", () => end());
  addEventListener("pageshow", ({ persisted }) => persisted && open());
  open();
}

async function wait(box) {
  const what = box.dataset.search;
  const address = `${box.dataset.address ?? location.pathname.replace(/\/(sheet|layouts|choices|paper).*/, "/sheet/progress")}?what=${what}`;
  const answer = await ask(address);
  if (answer.ok && !answer.data.running) return location.reload();
  if (answer.ok) {
    const { passed, seconds, at, of } = answer.data;
    say(box.querySelector("[data-say=passed]"), of > 1 ? `${at} of ${of} plans` : `${Math.round(passed)} s`);
    const bar = box.querySelector("progress");
    if (of > 1) Object.assign(bar, { max: of, value: at });
    else if (seconds) Object.assign(bar, { max: seconds, value: passed });
  }
  setTimeout(() => wait(box), LOOK);
}

function say(element, words) {
  if (element && element.textContent !== words) element.textContent = words;
}
