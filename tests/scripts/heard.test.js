import assert from "node:assert/strict";
import test from "node:test";
import { heardAfter } from "../../frontend/scripts/logic/heard.js";

test("a message of some runs changes these, one of all runs replaces them", () => {
  const word = { seq: 1, runs: { r1: 1, r2: 2, r3: 3 } };
  assert.deepEqual(heardAfter(word, { seq: 2, runs: { r2: 5 }, gone: ["r3"] }).runs, { r1: 1, r2: 5 });
  assert.deepEqual(heardAfter(word, { seq: 2, all: true, runs: { r9: 9 } }).runs, { r9: 9 });
});
