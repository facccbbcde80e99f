// Starts the page of a job's runs: reads what the server put into it, follows the bench, keeps the screen awake.
import "./elements/count-pedal.js";
import "./elements/far-view.js";
import "./elements/local-voice.js";
import "./elements/machine-needed.js";
import "./elements/note-pad.js";
import "./elements/number-pad.js";
import "./elements/sending-line.js";
import "./elements/shown-ways.js";
import "./elements/run-stepper.js";
import { DayTimes } from "./day-times.js";
import { stayAwake } from "./device.js";
import { Follower } from "./follower.js";
import { keepPages } from "./keep-pages.js";
import { keepWord, newestWord, runsWord } from "./kept-word.js";
import { Outbox } from "./outbox.js";
import { readySound } from "./signal.js";

const read = (id) => JSON.parse(document.getElementById(id).textContent);
const sheet = read("sheet");
const place = runsWord(sheet.job);
const outbox = new Outbox(place);
const stepper = document.querySelector("run-stepper");
const times = new DayTimes(sheet.job, stepper, (change) => stepper.steady(change));
const follower = new Follower(sheet.job, stepper);
// Set by the service worker: the time at which a page was kept that now opens without the bench. Who else is at a run
// is not known then.
const { kept } = document.documentElement.dataset;
const word = kept ? { ...(await newestWord(place, read("standing"))), here: [] } : read("standing");
stepper.begin({ sheet, word, kept, outbox, onRun, onWord });
function onRun(number) {
  follower.at(number);
  times.again();
}
function onWord(heard) {
  keepWord(place, heard, (seq) => stepper.letGo(seq));
  times.soon();
}
// What the first screen needs comes first.
function afterLoading(act) {
  if (document.readyState === "complete") act();
  else addEventListener("load", act, { once: true });
}
outbox.start();
afterLoading(() => {
  if (!sheet.runs.every(({ number }) => stepper.screens.has(number))) stepper.restCame();
  keepPages(sheet.job);
});
readySound();
stayAwake();
