import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { beside, breadth, fits, takeApart } from "../../frontend/scripts/logic/figure.js";

const figures = JSON.parse(readFileSync(new URL("./figures.json", import.meta.url)));

for (const { text, breadth: wide, beside: said, ...parts } of figures) {
  test(`'${text}' is taken apart as the server does`, () => {
    assert.deepEqual(takeApart(text), parts);
    assert.equal(breadth(takeApart(text)), wide);
    assert.equal(beside(takeApart(text)), said);
  });
}

test("a figure's class goes up in fives and ends at 120", () => {
  assert.equal(fits(takeApart("17 3/4 in")), "fits-30");
  assert.equal(fits(takeApart("a very long name of a cutter")), "fits-120");
});
