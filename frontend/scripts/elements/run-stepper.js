// The page of a job's runs: which run is on the screen, what a tap means, and everything brought in line after it.
import { BlindTaps } from "../blind-taps.js";
import { Counting } from "../counting.js";
import { newTap, pageId } from "../device.js";
import { asked, endAsking, isAsking, sure } from "../guard.js";
import { showLengths } from "../lengths.js";
import { heardAfter } from "../logic/heard.js";
import { changeFrom, layMachines, stopName, stopsLeft } from "../logic/machines.js";
import { missing, nextRun, notAllCut, phaseOf } from "../logic/phase.js";
import { runSaid } from "../logic/spoken.js";
import { UNTOUCHED, layOver, uncounted } from "../logic/standing.js";
import { standingOf, told } from "../logic/told.js";
import { sharesIn } from "../logic/tap.js";
import { Measuring } from "../measuring.js";
import { OldSheet } from "../old-sheet.js";
import { openStation, updateFoot, updateHead, updateList } from "../run-frame.js";
import { RestOfRuns } from "../rest-of-runs.js";
import { RunScreens } from "../run-screens.js";
import { saidIn, updateRun } from "../run-view.js";
import { SetUpNotes } from "../set-up-notes.js";
import { signal } from "../signal.js";
import { steadily } from "../steady.js";

const UNDER_THE_THUMB = ":is(.run :is(.counting, .beside), .list:not([hidden]) ol)";

export class RunStepper extends HTMLElement {
  // Sheet: the facts of all runs. Word: how the bench last said they stand. Outbox: where taps are kept and sent.
  // Kept: when this page was kept, if it opened without the bench.
  /**
   * @param {object} all
   * @param {Sheet} all.sheet
   * @param {BenchWord} all.word
   * @param {string} [all.kept]
   * @param {import("../outbox.js").Outbox} all.outbox
   * @param {(number: number) => void} all.onRun
   * @param {(word: BenchWord) => void} all.onWord
   */
  begin({ sheet, word, kept, outbox, onRun, onWord }) {
    this.sheet = sheet;
    this.word = word;
    this.kept = kept;
    this.outbox = outbox;
    this.onRun = onRun;
    this.onWord = onWord;
    this.known = new Set();
    this.near = new Map();
    this.past = new Set();
    this.following = null;
    this.letGoTo = 0;
    this.awaited = 0;
    this.holds = false;
    this.page = pageId();
    this.blind = new BlindTaps(this, () => this.screen);
    this.measuring = new Measuring(this);
    this.pad = this.measuring.pad;
    this.counting = new Counting(this);
    this.notes = new SetUpNotes(this);
    this.oldSheet = new OldSheet(this.querySelector(":scope > footer"), sheet.job);
    this.screens = new RunScreens(this.querySelector("main"));
    this.rest = new RestOfRuns(sheet.job, sheet.mark);
    this.addEventListener("click", (event) => this.clicked(event));
    this.addEventListener("ways", () => this.update());
    this.addEventListener("learned", () => this.update());
    this.addEventListener("press", ({ detail }) => this.counting.pressed(detail.at));
    this.pedal = this.querySelector("count-pedal");
    this.far = this.querySelector("far-view");
    this.voice = this.querySelector("local-voice");
    this.neededBox = this.querySelector("machine-needed");
    for (const name of ["opened", "closed"]) this.neededBox.addEventListener(name, () => this.blind.look());
    this.neededBox.addEventListener("used", ({ detail }) => {
      this.send("machine used", detail);
      scrollTo(0, 0);
    });
    this.querySelector("sending-line").follow(outbox, () => ({ following: this.following, kept: this.kept }));
    addEventListener("popstate", () => this.open(numberIn(location.pathname), false));
    outbox.addEventListener("change", () => this.update());
    onWord(word);
    this.open(numberIn(location.pathname), false);
  }

  // What the bench says now; an older word than the last is passed over.
  hear(word) {
    if (word.seq < this.word.seq) return;
    this.word = heardAfter(this.word, word);
    for (const id of word.ids) this.known.add(id);
    this.onWord(this.word);
    this.kept = undefined;
    this.update();
  }

  // The bench's word up to `seq` outlives this page; what it includes need not be kept as taps.
  letGo(seq) {
    this.letGoTo = seq;
    this.outbox.letGo(seq);
  }

  reached(following) {
    this.following = following;
    if (following) this.outbox.send();
    this.update();
  }

  get run() {
    return this.sheet.runs.find((run) => run.number === this.number);
  }

  // What is on the screen, as far as a tap can mean something else on it.
  get screen() {
    const { run } = this;
    return [this.number, run ? this.phase() : "", run ? this.nearOf(run) : "", asked(), this.pad.isOpen, this.neededBox.isOpen, this.notes.pad.isOpen, this.far.on].join("\n");
  }

  // Worked out once between two changes of what is known.
  get states() {
    this.laid ??= layOver(this.word.runs, this.notCounted);
    return this.laid;
  }

  // How the machines stand beside what the sheet says.
  get machines() {
    return layMachines(this.word.machines, this.notCounted, this.states, this.sheet.runs);
  }

  get notCounted() {
    return uncounted(this.outbox.of(this.sheet.job), this.word.seq, this.known);
  }

  open(number, push = true) {
    endAsking();
    this.awaited = 0;
    if (this.sheet.runs.some((run) => run.number === number) && !this.screens.has(number)) return this.openLater(number, push);
    this.number = this.sheet.runs.some((run) => run.number === number) ? number : 0;
    const path = pathOf(this.sheet.job, this.number);
    if (push && location.pathname !== path) history.pushState(null, "", path);
    this.update();
    const at = openStation(this.querySelector("#list"), this.run?.station, nextRun(0, this.sheet.runs, this.states)?.station);
    if (push) {
      scrollTo(0, 0);
      if (!this.number) at?.scrollIntoView();
      this.querySelector("h1").focus({ preventScroll: true });
    }
    this.onRun(this.number);
  }

  // The screen of that run has not come yet: it opens when it has, unless another one was chosen meanwhile.
  async openLater(number, push) {
    this.awaited = number;
    this.update();
    await this.restCame();
    if (this.awaited !== number) return;
    if (this.screens.has(number)) this.open(number, push);
    else location.assign(pathOf(this.sheet.job, number)); // of another sheet by now: the page is made anew
  }

  // The screens of all runs, in one answer behind the page.
  async restCame() {
    const texts = await this.rest.come();
    if (texts) this.screens.take(texts);
  }

  send(kind, body) {
    this.sendAll([[kind, body]]);
  }

  // Several taps as one: the page is brought in line once for all of them, however many lines were counted.
  /** @param {[string, Details][]} taps */
  sendAll(taps) {
    this.outbox.add(this.sheet.job, ...taps.map(([kind, body]) => newTap(kind, body, sharesIn(this.run, body))));
  }

  clicked(event) {
    const target = event.target.closest("[data-do]");
    if (!target || target.disabled) return;
    const { counting } = this;
    const act = {
      list: () => this.open(0),
      open: () => this.open(Number(target.dataset.number)),
      go: () => this.goOn(target),
      near: () => this.bringNear(target),
      cut: () => counting.cut(target),
      spoil: () => counting.spoil(target),
      whole: () => counting.whole(target),
      "far-one": () => counting.one(),
      undo: () => counting.undo(target),
      measure: () => this.measuring.measure(),
      note: () => this.measuring.note(),
      write: () => this.notes.write(),
      unnote: () => this.notes.takeBack(target),
      past: () => this.goPast(),
      reopen: () => this.reopen(target),
      needed: () => this.needed(),
      unready: () => this.unready(),
    }[target.dataset.do];
    if (target.tagName === "A") {
      if (event.metaKey || event.ctrlKey || event.shiftKey) return;
      event.preventDefault();
    }
    if (!isAsking(target)) endAsking();
    act();
  }

  bringNear(stop) {
    this.near.set(this.run.key, stop.dataset.axis);
    this.update();
  }

  goPast() {
    this.past.add(this.run.key);
    this.update();
  }

  reopen(button) {
    if (sure(button, "Open it again? Tap again")) this.send("run reopened", { run: this.run.key });
  }

  // The big button: what it does depends on what comes next.
  goOn(button) {
    const { run, states } = this;
    if (!run) return this.open((nextRun(0, this.sheet.runs, states) ?? this.sheet.runs[0]).number);
    const phase = this.phase();
    if (phase === "change") return this.machineReady();
    if (phase === "set") return this.stopMade();
    if (phase === "trial") return this.measuring.measure();
    if (phase === "done") return this.goNext();
    const left = missing(run, states[run.key]);
    if (left.length && !sure(button, notAllCut(left))) return undefined;
    return this.finish();
  }

  // The run is done; `before` are the taps that make it so.
  /** @param {[string, Details][]} [before] */
  finish(before = []) {
    this.holds = true; // the next run comes at once, so this one is not brought in line with its being done
    this.sendAll([...before, ["run done", { run: this.run.key }]]);
    this.holds = false;
    signal("done");
    this.goNext();
  }

  goNext() {
    this.open(nextRun(this.number, this.sheet.runs, this.states)?.number ?? 0);
  }

  // The machine of the run was made ready for it.
  machineReady() {
    const { run, states } = this;
    const from = changeFrom(run, states[run.key] ?? UNTOUCHED, this.machines);
    const { lost } = this.sheet.machines[run.machine].changes[stopName(from, run.station)];
    this.send("machine made ready", { run: run.key, machine: run.machine, from, to: run.station, lost });
    signal("done");
    scrollTo(0, 0);
  }

  unready() {
    const last = (this.states[this.run.key] ?? UNTOUCHED).taps.findLast((one) => one.kind === "machine made ready");
    if (last) this.send("undo", { event: last.id });
  }

  // The machine is needed for something else: what is told of it goes the way of all taps.
  needed() {
    this.neededBox.open(this.run, this.sheet, this.states, this.machines);
  }

  stopMade() {
    const { run } = this;
    const axis = this.nearOf(run);
    const left = this.leftOf(run).filter((stop) => stop.axis !== axis);
    this.near.delete(run.key);
    if (left.length) this.send("stop made", { run: run.key, axis });
    else this.send("stop set", { run: run.key, ...run.about });
  }

  // Stops that nobody has made yet, or that were moved since.
  leftOf(run) {
    const left = stopsLeft(run, this.machines, this.sheet.runs, this.states);
    return run.scales.filter((stop) => left.includes(stop.axis));
  }

  // The stop that stands large: the one chosen, else the next to be made; once all are made the first.
  nearOf(run) {
    return this.near.get(run.key) ?? (this.leftOf(run)[0] ?? run.scales.find((one) => one.set) ?? run.scales[0])?.axis;
  }

  phase() {
    return phaseOf(this.run, this.states[this.run.key], this.past.has(this.run.key), this.machines, this.sheet.runs, this.states);
  }

  // Idempotent. What is under the thumb stays there; where it cannot, the tap on its way to it is not taken.
  update() {
    this.laid = undefined;
    if (this.holds) return;
    this.steady(() => this.bringInLine());
    this.blind.look();
  }

  // Does a change of lines that stand above what is under the thumb, which stays where it is; else taps are blind.
  steady(change) {
    const shown = [...this.querySelectorAll(UNDER_THE_THUMB)];
    if (steadily(() => shown.find((one) => one.checkVisibility()), change)) this.blind.moved();
  }

  bringInLine() {
    const { sheet, run } = this;
    this.outbox.letGo(this.letGoTo);
    const { states, machines } = this;
    const { show } = document.documentElement.dataset;
    const way = Math.max(0, sheet.shown.indexOf(show));
    if (way !== this.way) showLengths(this, (this.way = way));
    const others = (number) => this.word.here.filter((one) => one.run === number && one.page !== this.page).map((one) => one.name);
    const section = this.screens.show(this.number);
    if (section) updateRun(section, run, { runs: sheet.runs, states, machines, here: others(run.number), people: sheet, near: this.nearOf(run), past: this.past.has(run.key) });
    const atPedal = this.pedal.key ? this.counting.line?.slot : undefined;
    for (const item of this.querySelectorAll(".run [data-slot]")) item.classList.toggle("at-pedal", item.dataset.slot === atPedal);
    this.updateFar(states);
    this.tell(run && standingOf(run, states[run.key] ?? UNTOUCHED, this.phase()));
    if (section) this.notes.update(section, states[run.key] ?? UNTOUCHED, sheet);
    if (section) this.voice.opens(run.key, runSaid(saidIn(section, run)));
    const list = this.querySelector("#list");
    list.hidden = Boolean(run);
    if (!run) updateList(list, { sheet, states, others });
    updateHead(this, { sheet, run, states });
    updateFoot(this.querySelector(":scope > footer"), { run, runs: sheet.runs, states, phase: run ? this.phase() : "", setWords: run ? this.setWords(run) : "", awaited: this.awaited });
    this.querySelector("sending-line").look();
    this.oldSheet.look(this.word.sheet, sheet.mark);
  }

  tell(stands) {
    const words = stands && told(this.stood, stands);
    if (words) this.querySelector("[data-say=told]").textContent = words;
    this.stood = stands;
  }

  // The list of runs is never shown large.
  updateFar(states) {
    const { run } = this;
    this.classList.toggle("far", this.far.on && Boolean(run));
    this.querySelector("[data-far]").hidden = !run;
    if (!run || !this.far.on) return;
    const phase = this.phase();
    const figure = this.querySelector(".run .stop-set.near .figure");
    const line = this.counting.line ?? missing(run, states[run.key])[0];
    const stop = phase === "change" ? { name: `make ready: ${run.station}` } : run.scales.find((one) => one.axis === this.nearOf(run));
    const texts = phase === "change" ? undefined : figure?.dataset.texts.split("\n") ?? this.sheet.shown.map(() => "");
    this.far.update({ phase, line, stop, texts: figure ? texts : phase === "count" ? texts : undefined });
  }

  setWords(run) {
    if (!run.scales.length) return "All is ready";
    const left = this.leftOf(run);
    const near = run.scales.find((stop) => stop.axis === this.nearOf(run));
    if (left.length) return near.made;
    return run.scales.some((stop) => stop.set) ? "All stops are set" : near.stood;
  }
}

customElements.define("run-stepper", RunStepper);

function pathOf(job, number) {
  return `/jobs/${job}/runs${number ? `/${number}` : ""}`;
}

function numberIn(path) {
  return Number(/\/runs\/(\d+)$/.exec(path)?.[1] ?? 0);
}
