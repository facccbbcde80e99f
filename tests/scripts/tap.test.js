import assert from "node:assert/strict";
import test from "node:test";
import { partOf, sharesIn, slotOf, tap } from "../../frontend/scripts/logic/tap.js";

test("a tap carries an id of its bytes and the time of the phone", () => {
  const made = tap("run done", { run: "saw" }, { bytes: new Uint8Array([0, 15, 255, 16]), now: Date.UTC(2026, 2, 1, 7, 30) });
  assert.deepEqual(made, { id: "000fff10", kind: "run done", at: "2026-03-01T07:30:00.000Z", body: { run: "saw" } });
});

test("a slot names a mark and its mirrored half, and is read back", () => {
  for (const part of [{ mark: "A" }, { mark: "A", mirrored: true }, { mark: "AA" }]) assert.deepEqual(partOf(slotOf(part)), part);
});

test("a tap where several jobs are worked together says whose it is: a line its own job, a stop all of the run", () => {
  const mine = { job: "3", run: "rsaw", mark: "A" };
  const all = [{ job: "3", run: "rsaw" }, { job: "7", run: "rsaw" }];
  const run = { shares: all, pieces: [{ slot: "#3·A~", share: mine }, { slot: "#7·A", share: { job: "7" } }] };
  assert.deepEqual(sharesIn(run, { run: "rsaw", mark: "#3·A", mirrored: true, count: 2 }), [mine]);
  assert.deepEqual(sharesIn(run, { run: "rsaw" }), all);
  assert.equal(sharesIn({ pieces: [] }, { run: "rsaw", mark: "A" }), undefined);
  const made = tap("run done", { run: "rsaw" }, { bytes: new Uint8Array([1]), now: 0, shares: all });
  assert.deepEqual(made.shares, all);
});
