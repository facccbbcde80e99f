import assert from "node:assert/strict";
import test from "node:test";
import { UNTOUCHED } from "../../frontend/scripts/logic/standing.js";
import { standingOf, told } from "../../frontend/scripts/logic/told.js";

const run = { key: "r1", pieces: [{ slot: "A", mark: "A", need: 4 }, { slot: "A~", mark: "A", mirrored: true, need: 4 }] };
const stands = (phase, cut = {}) => standingOf(run, { ...UNTOUCHED, cut }, phase);

test("a count that changed is told with its line, mirrored pieces apart", () => {
  assert.equal(told(stands("count", { A: 1 }), stands("count", { A: 2 })), "A: 2 of 4");
  assert.equal(told(stands("count"), stands("count", { "A~": 3 })), "A mirrored: 3 of 4");
});

test("what comes next is told when it changes, together with the count that changed it", () => {
  assert.equal(told(stands("set"), stands("trial")), "Measure the trial piece");
  assert.equal(told(stands("count", { A: 4, "A~": 3 }), stands("finish", { A: 4, "A~": 4 })), "A mirrored: 4 of 4. All are cut");
});

test("nothing is told of nothing, of the first look and of another run", () => {
  assert.equal(told(stands("count"), stands("count")), "");
  assert.equal(told(undefined, stands("count")), "");
  assert.equal(told({ ...stands("set"), key: "r0" }, stands("count", { A: 2 })), "");
});
