import assert from "node:assert/strict";
import test from "node:test";
import { UNTOUCHED } from "../../frontend/scripts/logic/standing.js";
import { leftWords, minutesLeft } from "../../frontend/scripts/logic/time-left.js";

const run = (number, station, minutes = 10) => ({ number, key: `r${number}`, station, minutes, pieces: [{ slot: "A", mark: "A", need: 4 }, { slot: "B", mark: "B", need: 6 }] });
const runs = [run(1, "saw"), run(2, "mortiser"), run(3, "saw"), run(4, "saw")];
const begun = { ...UNTOUCHED, set: true, cut: { A: 3 } };

test("time left: nothing for what is done, the share that is missing for what is begun", () => {
  assert.equal(minutesLeft(runs, {}), 40);
  assert.equal(minutesLeft(runs, { r1: { ...UNTOUCHED, done: true }, r3: begun }), 27);
  assert.equal(minutesLeft([{ ...run(1, "saw"), pieces: [] }], {}), 10);
});

test("time left is said no finer than it is known", () => {
  assert.deepEqual([0, 0.3, 7.2, 27, 61, 120].map(leftWords), ["", "about 1 min left", "about 8 min left", "about 30 min left", "about 1 h 5 min left", "about 2 h left"]);
});
