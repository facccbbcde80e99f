// The clock of a glue-up: from the moment it was begun, whatever happened in between.
import assert from "node:assert/strict";
import test from "node:test";
import { alarmAt, clock, glueClock, stageAfter } from "../../frontend/scripts/logic/glue-clock.js";

const BEGUN = Date.parse("2026-03-01T08:00:00Z");
const after = (seconds, open = 8) => glueClock({ begun: BEGUN, open, now: BEGUN + seconds * 1000 });

test("it counts down from the open time", () => {
  assert.equal(after(0).text, "8:00");
  assert.equal(after(61).text, "6:59");
  assert.deepEqual([after(359).near, after(361).near], [false, true]); // the last two minutes
});

test("beyond the open time it counts up and says so plainly", () => {
  assert.deepEqual([after(480).over, after(481).over], [false, true]);
  assert.equal(after(560).text, "+1:20");
  assert.match(after(560).words, /over the open time/);
});

test("where the shop does not know the open time it counts up and never runs over", () => {
  assert.deepEqual([after(3661, null).text, after(3661, null).over], ["1:01:01", false]);
});

test("a clock that stands before the beginning shows the beginning", () => {
  assert.equal(after(-30).text, "8:00");
  assert.equal(clock(59999), "0:59");
});

const tap = (id, kind, body = {}) => ({ id, kind, at: "2026-03-01T08:00:00.000Z", body: { unit: 1, stage: 2, ...body } });

test("taps that the bench has not counted lie over its word, those of other stages and taken back ones do not", () => {
  const taps = [tap("a", "glue-up begun", { glue: "white glue" }), tap("b", "joint closed", { joint: "J1 A-01 B-01" }), tap("c", "joint closed", { joint: "J2", stage: 1 }), tap("d", "joint closed", { joint: "J3" }), tap("e", "undo", { event: "d" })];
  const stage = stageAfter(undefined, taps, { unit: 1, stage: 2 });
  assert.deepEqual([stage.begun, stage.glue, [...stage.closed], stage.done], ["2026-03-01T08:00:00.000Z", "white glue", ["J1 A-01 B-01"], ""]);
});

test("the first of two beginnings counts, and what was closed before stays closed", () => {
  const stands = { begun: "2026-03-01T07:59:00.000Z", glue: "hide glue", closed: ["J1"], done: "" };
  const stage = stageAfter(stands, [tap("a", "glue-up begun", { glue: "white glue" })], { unit: 1, stage: 2 });
  assert.deepEqual([stage.begun, stage.glue, [...stage.closed]], ["2026-03-01T07:59:00.000Z", "hide glue", ["J1"]]);
});

test("what the bench has counted is taken back at once when it was this page's own", () => {
  const mine = new Map([["b", tap("b", "joint closed", { joint: "J1" })]]);
  const stands = { begun: "x", glue: "", closed: ["J1", "J2"], done: "" };
  assert.deepEqual([...stageAfter(stands, [tap("u", "undo", { event: "b" })], { unit: 1, stage: 2, mine }).closed], ["J2"]);
  const again = [tap("u", "undo", { event: "b" }), tap("c", "joint closed", { joint: "J1" })];
  assert.deepEqual([...stageAfter(stands, again, { unit: 1, stage: 2, mine }).closed].sort(), ["J1", "J2"]);
});

test("alarms: half and end of the open time while it is open, then only when the clamps may come off", () => {
  const minutes = (number) => number * 60000;
  const at = (now, more = {}) => alarmAt({ begun: 1000, done: 0, open: 8, clamp: 30, now: 1000 + now, ...more });
  assert.deepEqual([0, minutes(4) - 1, minutes(4), minutes(8) - 1, minutes(8), minutes(20)].map((now) => at(now)), ["", "", "half", "half", "end", "end"]);
  const done = 1000 + minutes(5);
  assert.deepEqual([5, 9, 34.9, 35].map((now) => at(minutes(now), { done })), ["", "", "", "clamps"]);
});

test("no alarm for a glue that the shop does not know, nor before it is open", () => {
  assert.equal(alarmAt({ begun: 0, done: 0, open: 8, clamp: 30, now: 10 ** 12 }), "");
  assert.equal(alarmAt({ begun: 5, done: 0, open: null, clamp: null, now: 10 ** 12 }), "");
  assert.equal(alarmAt({ begun: 5, done: 6, open: null, clamp: null, now: 10 ** 12 }), "");
});
