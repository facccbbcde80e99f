// Dry fit: pieces here and joints tried, with this phone's own taps over the bench's word.
import assert from "node:assert/strict";
import test from "node:test";
import { dryFitAfter } from "../../frontend/scripts/logic/dry-fit.js";

const WORD = { here: [4], dry: ["J1 A-01 B-01"] };

test("scans and ticks of this phone are added, those of another unit are not", () => {
  const taps = [
    { id: "a", kind: "piece scanned", body: { piece: 5, purpose: "dry fit" } },
    { id: "b", kind: "dry fit ticked", body: { unit: 1, joint: "J2" } },
    { id: "c", kind: "dry fit ticked", body: { unit: 2, joint: "J3" } },
  ];
  const { here, dry } = dryFitAfter(WORD, taps, { unit: 1 });
  assert.deepEqual([[...here], [...dry]], [[4, 5], ["J1 A-01 B-01", "J2"]]);
});

test("a tick taken back is gone, whether the bench has counted it or not", () => {
  const undo = { id: "u", kind: "undo", body: { event: "b" } };
  const tick = { id: "b", kind: "dry fit ticked", body: { unit: 1, joint: "J2" } };
  assert.deepEqual([...dryFitAfter(WORD, [tick, undo], { unit: 1 }).dry], ["J1 A-01 B-01"]);
  assert.deepEqual([...dryFitAfter({ ...WORD, dry: ["J2"] }, [undo], { unit: 1, mine: new Map([["b", "J2"]]) }).dry], []);
});
