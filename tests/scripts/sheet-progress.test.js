import assert from "node:assert/strict";
import { test } from "node:test";
import { doneWords, merged, stateOf, whoIsWhere } from "../../frontend/scripts/logic/sheet-progress.js";

test("a run is nothing, set, counted or done, and done says it all", () => {
  assert.equal(stateOf(undefined, 12), "");
  assert.equal(stateOf({ set: true, done: false, cut: {} }, 12), "set");
  assert.equal(stateOf({ set: true, done: false, cut: { A: 4, "A~": 3 } }, 12), "7 of 12");
  assert.equal(stateOf({ set: true, done: true, cut: { A: 4 } }, 12), "done");
});

test("a word of the line adds, replaces and takes away, and one that tells all stands alone", () => {
  const runs = { a: { done: false }, b: { done: false } };
  assert.deepEqual(merged(runs, { runs: { a: { done: true } }, gone: ["b"] }), { a: { done: true } });
  assert.deepEqual(merged(runs, { all: true, runs: { c: { done: true } } }), { c: { done: true } });
  assert.deepEqual(runs, { a: { done: false }, b: { done: false } });
});

test("who is where leaves this page out and names the list of runs", () => {
  const here = [
    { page: "me", name: "the bench", run: 0 },
    { page: "p1", name: "Mira", run: 7 },
    { page: "p2", name: "Jon", run: 0 },
  ];
  assert.deepEqual(whoIsWhere(here, "me"), [
    { run: 7, words: "Mira: run 7" },
    { run: 0, words: "Jon: list of runs" },
  ]);
});

test("one run is a run", () => {
  assert.equal(doneWords(0, 1), "0 of 1 run done");
  assert.equal(doneWords(3, 33), "3 of 33 runs done");
});
