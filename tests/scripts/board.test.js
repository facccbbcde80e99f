import assert from "node:assert/strict";
import test from "node:test";
import { stationsNow } from "../../frontend/scripts/logic/board.js";
import { UNTOUCHED } from "../../frontend/scripts/logic/standing.js";

const run = (number, station, minutes = 10) => ({ number, key: `r${number}`, station, minutes, pieces: [{ slot: "A", mark: "A", need: 4 }, { slot: "B", mark: "B", need: 6 }] });
const runs = [run(1, "saw"), run(2, "mortiser"), run(3, "saw"), run(4, "saw")];
const now = (states = {}, here = []) => stationsNow(runs, states, here).map(({ station, run: at, who, phase, left }) => [station, at?.number, who, phase, left]);
const begun = { ...UNTOUCHED, set: true, cut: { A: 3 } };

test("each station shows its next run until somebody is at another or has begun one", () => {
  assert.deepEqual(now(), [["saw", 1, [], "set", 10], ["mortiser", 2, [], "set", 10]]);
  assert.deepEqual(now({ r3: begun })[0], ["saw", 3, [], "count", 7]);
  assert.deepEqual(now({ r3: begun }, [{ run: 4, name: "Ada" }])[0], ["saw", 4, ["Ada"], "set", 10]);
  assert.deepEqual(now({ r1: { ...UNTOUCHED, done: true } }, [{ run: 0, name: "Ada" }])[0], ["saw", 3, [], "set", 10]);
});

test("who looks at a run that is done is named, the run shown is one that is not", () => {
  assert.deepEqual(now({ r1: { ...UNTOUCHED, done: true } }, [{ run: 1, name: "Ada" }, { run: 3, name: "Ada" }])[0], ["saw", 3, ["Ada"], "set", 10]);
});

test("a station with all runs done says so", () => {
  assert.deepEqual(now({ r2: { ...UNTOUCHED, done: true } })[1], ["mortiser", undefined, [], "done", 0]);
});

test("counted twice takes no more than all away", () => {
  assert.equal(now({ r1: { ...UNTOUCHED, set: true, cut: { A: 9 } } })[0][4], 6);
});
