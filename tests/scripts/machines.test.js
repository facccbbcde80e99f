import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { AS_THE_SHEET_SAYS, changeFrom, goesWords, layMachines, movedStops, standing, stopsLeft } from "../../frontend/scripts/logic/machines.js";
import { phaseOf } from "../../frontend/scripts/logic/phase.js";
import { UNTOUCHED, layOver } from "../../frontend/scripts/logic/standing.js";

const cases = JSON.parse(readFileSync(new URL("machines.json", import.meta.url), "utf8"));
const STATIONS = { r1: "saw", r2: "saw", r3: "jig", r4: "spindle" };

for (const { says, taps, machines } of cases) {
  test(`as the bench folds it: ${says}`, () => {
    const told = taps.map(([kind, body], place) => ({ id: `tap-${place}`, kind, body }));
    const runs = Object.entries(STATIONS).map(([key, station]) => ({ key, station }));
    let after = AS_THE_SHEET_SAYS;
    const undone = told.filter((one) => one.kind === "undo").map((one) => one.body.event);
    const hold = told.filter((one) => !undone.includes(one.id));
    hold.forEach((one, place) => {
      after = layMachines(after, [one], layOver({}, hold.slice(0, place)), runs);
    });
    after.unproved = Object.fromEntries(Object.entries(after.unproved).filter(([, axes]) => axes.length));
    assert.deepEqual(after, machines);
    if (undone.length) assert.deepEqual(layMachines(AS_THE_SHEET_SAYS, told, {}, runs), machines);
  });
}

const scale = (axis, at, set) => ({ axis, at, set, name: axis, texts: [`${at} mm`] });
const run = (key, station, scales, more = {}) => ({
  key, number: 1, station, scales, machine: "combination", change: null, pieces: [{ slot: "A", need: 4 }], trials: [],
  about: { station, work: "rip", stops: scales.map((one) => [one.axis, one.at]) }, ...more,
});
const FIRST = run("r1", "saw", [scale("rip fence", 84, true)]);
const LATER = run("r2", "saw", [scale("rip fence", 84, false), scale("flip stops", 300, true)], { number: 2 });
const RUNS = [FIRST, LATER];
const SET = { ...UNTOUCHED, set: true };
const moved = (since = [], made = []) => ({ ...AS_THE_SHEET_SAYS, moved: { "saw\nrip fence": { since, made } } });

test("a stop that stands by the sheet is to be set once it was moved, and stands for all once one run has it", () => {
  const states = { r1: SET };
  assert.deepEqual(movedStops(LATER, AS_THE_SHEET_SAYS, RUNS, states), []);
  assert.deepEqual(movedStops(LATER, moved(), RUNS, states), ["rip fence"]);
  assert.deepEqual(stopsLeft(LATER, moved(), RUNS, states), ["rip fence", "flip stops"]);
  assert.deepEqual(stopsLeft(LATER, moved([], ["r2"]), RUNS, states), ["flip stops"]);
  assert.deepEqual(movedStops(LATER, moved([["r1", 84]]), RUNS, states), []);
  const other = run("r0", "saw", [scale("rip fence", 60, true)], { number: 0 });
  assert.deepEqual(movedStops(LATER, moved([["r0", 60]]), [other, ...RUNS], states), ["rip fence"]);
});

test("a stop that an earlier run sets, which nobody has set yet, is as the sheet says", () => {
  assert.deepEqual(movedStops(LATER, moved(), RUNS, {}), []);
  assert.deepEqual(stopsLeft(LATER, moved(), RUNS, {}), ["flip stops"]);
});

test("a run in the middle asks for its stops again, then for a trial piece, then goes on counting", () => {
  const trials = [{ axis: "rip fence", asked: true }];
  const mine = { ...FIRST, trials };
  const begun = { ...SET, cut: { A: 2 }, trials: [{ axis: "rip fence", within: true }] };
  assert.equal(phaseOf(mine, begun), "count");
  const unproved = { r1: ["rip fence"] };
  assert.equal(phaseOf(mine, begun, false, { ...moved(), unproved }, RUNS), "set");
  assert.deepEqual(stopsLeft(mine, moved(), RUNS, { r1: begun }), ["rip fence"]);
  const again = { ...moved([["r1", 84]]), unproved };
  assert.equal(phaseOf(mine, begun, false, again, RUNS), "trial");
  assert.equal(phaseOf(mine, begun, true, again, RUNS), "count");
  assert.equal(phaseOf(mine, begun, false, moved([["r1", 84]]), RUNS), "count");
});

test("a machine is made ready where the sheet says so, or where it is ready for something else", () => {
  const spindle = run("r4", "spindle", [], { change: { from: "saw" } });
  assert.equal(changeFrom(spindle, UNTOUCHED, AS_THE_SHEET_SAYS), "saw");
  assert.equal(phaseOf(spindle), "change");
  assert.equal(changeFrom(spindle, SET, AS_THE_SHEET_SAYS), undefined);
  assert.equal(changeFrom(spindle, UNTOUCHED, { ready: { combination: "spindle" } }), undefined);
  assert.equal(changeFrom(spindle, SET, { ready: { combination: "planer" } }), "planer");
  assert.equal(changeFrom(spindle, { ...SET, done: true }, { ready: { combination: "planer" } }), undefined);
  assert.equal(changeFrom({ ...FIRST, machine: "" }, UNTOUCHED, { ready: {} }), undefined);
});

test("what stands is what was set last and was not moved", () => {
  const states = { r1: SET };
  assert.deepEqual(standing(["saw"], RUNS, states, AS_THE_SHEET_SAYS).map((one) => [one.station, one.axis, one.place]), [["saw", "rip fence", 84]]);
  assert.deepEqual(standing(["saw"], RUNS, states, moved()), []);
  assert.deepEqual(standing(["planer"], RUNS, states, AS_THE_SHEET_SAYS), []);
});

test("what goes is said in its number", () => {
  assert.equal(goesWords([], []), "Everything stays as it stands.");
  assert.match(goesWords(["a"], ["a"]), /^One stop will not stand any more: the next run that needs it /);
  assert.match(goesWords(["a"], ["b"]), /^2 stops will not stand any more: the next run that needs one of them /);
});
