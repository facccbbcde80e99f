// Words as people read them.
import assert from "node:assert/strict";
import test from "node:test";
import { sentence, unbroken } from "../../frontend/scripts/logic/sentence.js";

test("words become a sentence of their own, one that is a sentence stays as it is", () => {
  assert.deepEqual(["reload the page", "There is no such job.", ""].map(sentence), ["Reload the page.", "There is no such job.", ""]);
});

test("a label is not broken at its hyphen", () => {
  assert.equal(unbroken("A-01, B-02"), "A\u201101, B\u201102");
});
