import assert from "node:assert/strict";
import test from "node:test";
import { KEYS, beginsLength, typedAfter, wayIn } from "../../frontend/scripts/logic/typed-length.js";

const after = (...keys) => keys.reduce(typedAfter, "");

test("a fraction goes behind a space, a denominator behind its number", () => {
  assert.equal(after("1", "7", "3/4"), "17 3/4");
  assert.equal(after("1", "7", " ", "3/4"), "17 3/4");
  assert.equal(after("1", "7", " ", "2", "3", "/32"), "17 23/32");
  assert.equal(after("3/4"), "3/4");
  assert.equal(after("1", "7", "3/4", "back", "back"), "17 3");
});

test("what does not fit into the field is not taken, not even half of it", () => {
  const full = "1".repeat(23);
  assert.equal(typedAfter(full, "/64"), full);
  assert.equal(typedAfter(full, "2"), `${full}2`);
});

test("any mark of an inch scale is typed with the keys of the pad", () => {
  for (const under of [2, 4, 8, 16, 32, 64]) {
    assert.ok(KEYS.in.includes(`/${under}`) || KEYS.in.includes(`1/${under}`), under);
  }
});

test("figures, points and a sign begin a length, other keys and shortcuts do not", () => {
  for (const key of ["0", "9", ".", ",", "+"]) assert.equal(beginsLength({ key }), true, key);
  for (const key of ["a", "-", "Enter", "PageDown", " "]) assert.equal(beginsLength({ key }), false, key);
  assert.equal(beginsLength({ key: "0", ctrlKey: true }), false);
});

test("what is wanted is shown in the unit of the pad: as chosen, else as callipers show it", () => {
  const shown = ["mm", "1/16 in", "1/32 in", "1/64 in", "0.001 in"];
  assert.equal(wayIn("mm", shown, 0), 0);
  assert.equal(wayIn("in", shown, 2), 2);
  assert.equal(wayIn("in", shown, 0), 4);
  assert.equal(wayIn("mm", shown, 2), 0);
});
