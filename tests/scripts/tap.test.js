import assert from "node:assert/strict";
import test from "node:test";
import { partOf, slotOf, tap } from "../../frontend/scripts/logic/tap.js";

test("a tap carries an id of its bytes and the time of the phone", () => {
  const made = tap("run done", { run: "saw" }, { bytes: new Uint8Array([0, 15, 255, 16]), now: Date.UTC(2026, 2, 1, 7, 30) });
  assert.deepEqual(made, { id: "000fff10", kind: "run done", at: "2026-03-01T07:30:00.000Z", body: { run: "saw" } });
});

test("a slot names a mark and its mirrored half, and is read back", () => {
  for (const part of [{ mark: "A" }, { mark: "A", mirrored: true }, { mark: "AA" }]) assert.deepEqual(partOf(slotOf(part)), part);
});
