import assert from "node:assert/strict";
import test from "node:test";
import { runSaid, spoken } from "../../frontend/scripts/logic/spoken.js";

test("lengths are said with their unit, fractions in words", () => {
  assert.deepEqual(["450 mm", "38.1 mm", "17 3/4 in (−0.0032)", "17 23/32 in", "3/4 in", "1/2 in", "−0.5 mm", "17.717 in"].map(spoken), [
    "450 millimetres",
    "38.1 millimetres",
    "17 inches and 3 quarters",
    "17 inches and 23 thirty-seconds",
    "3 quarters of an inch",
    "1 half of an inch",
    "minus 0.5 millimetres",
    "17.717 inches",
  ]);
});

test("an angle, a cutter or nothing at all is said as it stands", () => {
  assert.equal(spoken("22.5°"), "22.5°");
  assert.equal(spoken("round 4"), "round 4");
});

test("a run says its number, its work, its stops and what must not be missed", () => {
  const said = runSaid({ number: 18, title: "Saw, crosscut", stops: [{ name: "flip stop", text: "450 mm" }], beware: ["Flip away the stop at 300 mm"] });
  assert.equal(said, "Run 18. Saw, crosscut. flip stop, 450 millimetres. Flip away the stop at 300 mm.");
  assert.equal(runSaid({ number: 1, title: "Jointer", stops: [] }), "Run 1. Jointer.");
});
