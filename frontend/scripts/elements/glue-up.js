// Glue-up: before, then one joint or clamp a screen, then done; the clock is read from when it was begun.
import { BlindTaps } from "../blind-taps.js";
import { GlueAlarms } from "../glue-alarms.js";
import { glueClock, stageAfter, timeOfDay } from "../logic/glue-clock.js";
import { unbroken } from "../logic/sentence.js";
import { Station } from "../station.js";

const TICK = 250;

class GlueUp extends Station {
  begin(all) {
    super.begin(all);
    this.undoable = [];
    this.alarms = new GlueAlarms(this.facts.glues);
    this.blind = new BlindTaps(this, () => `${this.dataset.phase} ${this.left.length}`);
    this.addEventListener("click", (event) => this.clicked(event.target.closest("[data-do]")));
    document.addEventListener("visibilitychange", () => this.update());
    setInterval(() => this.tick(), TICK);
  }

  // The bench's clock counts, so that two phones show the same time left whatever their own clocks say.
  take(word) {
    super.take(word);
    this.ahead = (word.heard ?? Date.now()) - Date.parse(word.now);
  }

  get stands() {
    const { unit, stage } = this.facts;
    const bench = this.word.stages[stage];
    const after = stageAfter(bench, this.taps, { unit, stage, mine: this.mine });
    after.begunAt = this.here(after.begun, bench?.begun);
    after.doneAt = this.here(after.done, bench?.done);
    return after;
  }

  // A time of the log in this phone's milliseconds, 0 for none: what was tapped here before the bench knows of it stands in
  // this phone's own time.
  here(at, known) {
    if (!at) return 0;
    return Date.parse(at) + (at === known ? this.ahead : 0);
  }

  get left() {
    const { closed } = this.stands;
    return this.facts.steps.filter((step) => !closed.has(step.name));
  }

  send(kind, body) {
    const { unit, stage } = this.facts;
    const all = { unit, stage, ...body };
    const id = this.tap(kind, all);
    this.mine.set(id, { kind, body: all });
    this.undoable.push(id);
    this.update();
  }

  clicked(button) {
    const { begun, done } = this.stands;
    const [step] = this.left;
    const act = button?.dataset.do;
    if (act === "undo") this.undo(this.undoable.pop());
    if (act !== "go") return;
    if (done) location.href = this.facts.next ? `/jobs/${this.facts.job}/glue-up/${this.facts.unit}/${this.facts.next}` : `/jobs/${this.facts.job}/glue-up`;
    else if (!begun) this.send("glue-up begun", { glue: this.querySelector("select[data-say=glue]")?.value ?? "" });
    else if (step) this.send("joint closed", { joint: step.name });
    else this.send("glue-up done", {});
  }

  update() {
    super.update();
    const { stands, left } = this;
    const { steps } = this.facts;
    const [step] = left;
    const phase = stands.done ? "done" : stands.begun ? (step ? "step" : "finish") : "before";
    const hasBegun = this.dataset.phase === "before" && phase !== "before";
    this.dataset.phase = phase;
    this.querySelector("[data-say=before]").hidden = phase !== "before";
    this.querySelector("[data-say=turn]").textContent = phase === "step" ? `${steps.length - left.length + 1} of ${steps.length}` : "";
    this.showStep(phase, step, stands);
    const after = this.querySelector("[data-say=after]");
    if (after) after.hidden = phase !== "done";
    const list = this.querySelector("[data-say=list]");
    list.hidden = phase === "before";
    list.replaceChildren(...steps.map((one) => item(one, stands.closed.has(one.name), one === step)));
    const go = this.querySelector("button[data-do=go]");
    go.disabled = false;
    go.textContent = { before: "Glue is open: begin", step: step?.clamp ? "It is tight" : "It is closed", finish: "All clamps are on", done: this.facts.next ? `On to stage ${this.facts.next}` : "All units" }[phase];
    this.querySelector("[data-do=undo]").hidden = !this.undoable.length;
    this.showDrawing(phase, step);
    if (hasBegun) scrollTo(0, 0); // whoever read on below sees the clock
    this.tick();
    this.blind.look();
  }

  showStep(phase, step, stands) {
    const box = this.querySelector("[data-say=step]");
    box.hidden = phase === "before";
    const glue = this.facts.glues.find((one) => one.name === stands.glue);
    const said = { step: [step?.title, step?.words], finish: ["Check it", "Square, both diagonals alike; squeezed-out glue off."], done: ["Glued", this.clampWords(glue, stands)] }[phase] ?? ["", ""];
    if (box.dataset.said === said.join("|")) return;
    box.dataset.said = said.join("|");
    const [title, words] = ["title", "words"].map((name, place) => Object.assign(document.createElement("p"), { className: name, textContent: unbroken(said[place]) }));
    box.replaceChildren(title, words);
  }

  clampWords(glue, stands) {
    if (!glue?.clamp) return "Leave the clamps on as long as the bottle says.";
    const until = stands.doneAt + glue.clamp * 60000;
    return `Leave the clamps on for ${glue.clamp} min, until ${timeOfDay(until)}.`;
  }

  showClock() {
    const { stands } = this;
    const box = this.querySelector("[data-say=clock]");
    box.hidden = !stands.begun || Boolean(stands.done);
    if (box.hidden) return;
    const glue = this.facts.glues.find((one) => one.name === stands.glue);
    const clock = glueClock({ begun: stands.begunAt, open: glue ? glue.open : null, now: Date.now() });
    set(box.querySelector(".time"), clock.text);
    set(box.querySelector(".words"), clock.words);
    box.classList.toggle("over", clock.over);
    box.classList.toggle("near", clock.near);
  }

  // Alarms of all stages of this unit: who works at one of them hears that the clamps of another may come off.
  tick() {
    this.showClock();
    const { unit, stage } = this.facts;
    const others = Object.entries(this.word.stages).filter(([number]) => Number(number) !== stage);
    const stages = others.map(([number, { glue, begun, done }]) => ({ number, glue, begunAt: this.here(begun, begun), doneAt: this.here(done, done) }));
    const said = this.alarms.look([{ ...this.stands, number: String(stage) }, ...stages], Date.now());
    const box = this.querySelector("[data-say=alarm]");
    const words = said.map(({ number, words: one }) => (Number(number) === stage ? one : `Unit ${unit}, stage ${number}: ${one}`)).join(" ");
    box.hidden = !words;
    set(box, words);
  }

  // The pieces of the step brought out: what goes in, and what it goes into.
  showDrawing(phase, step) {
    const [first, ...into] = phase === "step" ? step.shown : [];
    for (const shape of this.querySelectorAll(".together [class*=' p']")) {
      const number = Number(/ p(\d+)/.exec(shape.getAttribute("class"))[1]);
      const pressed = phase === "step" && step.clamp && step.shown.includes(number);
      shape.classList.toggle("now", pressed || number === first);
      shape.classList.toggle("into", !pressed && into.includes(number));
    }
  }
}

customElements.define("glue-up", GlueUp);

function item(step, done, now) {
  const made = document.createElement("li");
  made.className = done ? "done" : now ? "now" : "";
  made.textContent = unbroken(step.title);
  return made;
}

function set(element, words) {
  if (element.textContent !== words) element.textContent = words;
}
