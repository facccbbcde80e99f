import assert from "node:assert/strict";
import test from "node:test";
import { missing, nextRun, notAllCut, notYet, notYetWords, openFirst, overWords, phaseOf, saidOf, stretches, undoable, undoWords, whose } from "../../frontend/scripts/logic/phase.js";
import { UNTOUCHED } from "../../frontend/scripts/logic/standing.js";

const B = { slot: "B", mark: "B", mirrored: false, name: "Rail", need: 12, marks: ["B"] };
const rip = { number: 1, key: "rip", title: "Saw, rip", pieces: [B], trials: [{ axis: "rip fence", asked: true }], before: [] };
const crosscut = { number: 2, key: "crosscut", title: "Saw, crosscut", pieces: [B], trials: [], before: [1] };
const state = (more) => ({ ...UNTOUCHED, ...more });

test("a run is set, proved, counted, finished, done", () => {
  const within = [{ axis: "rip fence", within: true }];
  assert.equal(phaseOf(rip), "set");
  assert.equal(phaseOf(rip, state({ set: true })), "trial");
  assert.equal(phaseOf(rip, state({ set: true, trials: within })), "count");
  assert.equal(phaseOf(rip, state({ set: true, trials: within, cut: { B: 11 } })), "count");
  assert.equal(phaseOf(rip, state({ set: true, trials: within, cut: { B: 12 } })), "finish");
  assert.equal(phaseOf(rip, state({ set: true, done: true })), "done");
});

test("what another job had cut before this one joined leaves the stops to be set and proved", () => {
  const joined = { cut: { B: 8 }, before: { B: 8 } };
  assert.equal(phaseOf(rip, state(joined)), "set");
  assert.equal(phaseOf(rip, state({ ...joined, set: true })), "trial");
  assert.equal(phaseOf(rip, state({ ...joined, set: true, cut: { B: 9 } })), "count");
});

test("a trial piece outside the tolerance does not prove; a person may count without one", () => {
  const outside = state({ set: true, trials: [{ axis: "rip fence", within: false }] });
  assert.equal(phaseOf(rip, outside), "trial");
  assert.equal(phaseOf(rip, outside, true), "count");
  assert.equal(phaseOf(crosscut, state({ set: true })), "count");
});

test("two phones that both say 'all' leave nothing missing, and what is over is asked about", () => {
  assert.deepEqual(missing(rip, state({ cut: { B: 24 } })), []);
  assert.equal(saidOf(rip, state({ cut: { B: 24 } })), "24 of 12 cut: which?");
  assert.match(overWords(rip, state({ cut: { B: 13 } })), /^13 counted of 12 × B: which\?/);
  assert.equal(overWords(rip, state({ cut: { B: 12 } })), "");
  assert.equal(saidOf(rip, state({ set: true })), "set");
  assert.equal(saidOf(rip), "");
});

test("what is missing from earlier runs of the same pieces is said", () => {
  const open = notYet(crosscut, [rip, crosscut], { rip: state({ cut: { B: 8 } }) });
  assert.equal(notYetWords(open), "Before this, run 1: 4 × B not worked there yet.");
  assert.deepEqual(notYet(crosscut, [rip, crosscut], { rip: state({ done: true }) }), []);
  assert.equal(stretches([1, 2, 3, 5]), "1–3, 5");
});

test("a board or strip of an earlier run counts where it becomes the same pieces", () => {
  const board = { slot: "board 3", mark: "board 3", mirrored: false, name: "Strips from board 3", need: 2, marks: ["B", "C"] };
  const other = { ...board, slot: "board 4", mark: "board 4", marks: ["D"] };
  const open = notYet(crosscut, [{ ...rip, pieces: [board, other] }, crosscut], {});
  assert.equal(notYetWords(open), "Before this, run 1: 2 × board 3 not worked there yet.");
});

test("the next run is the one after, then the first that was left out", () => {
  assert.equal(nextRun(1, [rip, crosscut], {}).number, 2);
  assert.equal(nextRun(2, [rip, crosscut], {}).number, 1);
  assert.equal(nextRun(2, [rip, crosscut], { rip: state({ done: true }), crosscut: state({ done: true }) }), undefined);
});

test("finishing too early says what is not cut", () => {
  assert.equal(notAllCut([{ ...B, count: 4 }]), "Not cut: 4 × B. Tap again to finish");
  assert.equal(notAllCut([{ ...B, count: 4 }, { ...B, count: 1 }, { ...B, count: 2 }]), "Not cut: 7 pieces. Tap again to finish");
});

test("undo names the last tap that counts for something", () => {
  const taps = [{ id: "a", kind: "piece cut", slot: "A~", count: 5 }, { id: "m", kind: "piece measured" }];
  assert.equal(undoWords(undoable(state({ taps }))), "5 × A mirrored");
  assert.equal(undoable(state({})), undefined);
});

test("whose tap an undo takes back is said, one's own goes without a name", () => {
  const known = { me: "phone-1", devices: { "phone-2": "Saw phone" } };
  assert.equal(whose({ id: "kept here" }, known), "");
  assert.equal(whose({ device: "phone-1" }, known), "");
  assert.equal(whose({ device: "phone-2" }, known), "Saw phone");
  assert.equal(whose({ device: "phone-9" }, known), "another phone");
});

test("what is asked for and not proved yet is measured first", () => {
  const run = { trials: [{ axis: "depth", asked: false }, { axis: "from", asked: true }, { axis: "to", asked: true }] };
  const axes = (trials) => openFirst(run, state({ trials })).map((one) => one.axis);
  assert.deepEqual(axes([]), ["from", "to", "depth"]);
  assert.deepEqual(axes([{ axis: "from", within: true }]), ["to", "depth", "from"]);
});
