import assert from "node:assert/strict";
import test from "node:test";
import { PORTION, asideWords, isTap, meaningOf, nextPortion, pause, sendingWords } from "../../frontend/scripts/logic/sending.js";

test("a portion is the oldest unsent taps of one job, in the order of tapping", () => {
  const kept = [{ id: "a", job: "1", seq: 4 }, { id: "b", job: "1" }, { id: "c", job: "1", refused: {} }, { id: "d", job: "1" }, { id: "e", job: "2" }, { id: "f", job: "1" }];
  const portion = nextPortion(kept);
  assert.equal(portion.job, "1");
  assert.deepEqual(portion.taps.map((one) => one.id), ["b", "d"]);
});

test("a portion holds no more than the bench takes, and there is none when all is sent", () => {
  const many = Array.from({ length: PORTION + 5 }, (_, place) => ({ id: String(place), job: "1" }));
  assert.equal(nextPortion(many).taps.length, PORTION);
  assert.equal(nextPortion([{ id: "a", job: "1", seq: 1 }]), undefined);
});

test("what is passed over waits, and what goes alone goes alone", () => {
  const kept = ["a", "b", "c", "d"].map((id) => ({ id, job: "1" }));
  const sent = (round) => nextPortion(kept, round).taps.map((one) => one.id);
  assert.deepEqual(sent({ passedOver: new Set(["a"]) }), ["b", "c", "d"]);
  assert.deepEqual(sent({ alone: new Set(["a", "b"]) }), ["a"]);
  assert.deepEqual(sent({ alone: new Set(["c"]) }), ["a", "b"]);
  assert.equal(nextPortion(kept, { passedOver: new Set(["a", "b", "c", "d"]) }), undefined);
});

test("an answer says whether taps are taken, set aside, tried one by one, passed over, or kept for later", () => {
  const error = { what: "There is no such job", next_step: "Throw it away" };
  const refusal = (status, data = { error }) => ({ ok: false, status, data });
  const one = ["a"];
  const two = ["a", "b"];
  assert.equal(meaningOf({ ok: true, status: 200, data: { stored: { a: 1 }, refused: { b: error } } }, two), "taken");
  assert.equal(meaningOf({ ok: true, status: 200, data: { stored: { a: 1 }, refused: {} } }, two), "wait"); // not from our bench
  for (const status of [0, 403, 429, 503]) assert.equal(meaningOf(refusal(status), one), "wait");
  assert.equal(meaningOf(refusal(404), two), "aside"); // the job is gone, for all of them
  assert.equal(meaningOf(refusal(404, null), one), "over"); // some other machine's answer
  assert.deepEqual([meaningOf(refusal(422), two), meaningOf(refusal(422), one)], ["apart", "aside"]);
  assert.deepEqual([meaningOf(refusal(500), two), meaningOf(refusal(500), one)], ["apart", "over"]);
});

test("an entry that was cut off or is something else is no tap", () => {
  const tap = { id: "a", kind: "piece cut", at: "2026-03-01T07:30:00.000Z", job: "1", body: { run: "saw" } };
  assert.equal(isTap(tap), true);
  for (const damaged of [null, 7, "tap", {}, { ...tap, id: "" }, { ...tap, job: 1 }, { ...tap, body: null }, { ...tap, body: "x" }]) assert.equal(isTap(damaged), false);
});

test("what was set aside is said with its job, what it was, and why", () => {
  const refused = { what: "There is no such job", next_step: "Choose another" };
  const tap = { job: "7", kind: "piece cut", body: { mark: "A", count: 5, mirrored: true }, refused };
  assert.deepEqual(asideWords(tap), ["Job 7, piece cut 5 × A mirrored", "There is no such job", "Choose another"]);
  assert.deepEqual(asideWords({ refused }), ["There is no such job", "Choose another"]);
});

test("the wait doubles with every failure and stays below a quarter of a minute", () => {
  assert.deepEqual([0, 1, 2, 3, 9].map(pause), [0, 1000, 2000, 4000, 15000]);
});

const fine = { unsent: 0, failures: 0, refused: 0, removed: false, unkept: false, following: true };

test("nothing is said while all is on the bench's disk, and before anything is known", () => {
  assert.equal(sendingWords(fine), "");
  assert.equal(sendingWords({ ...fine, following: null }), "");
});

test("what is not sent is said plainly", () => {
  assert.equal(sendingWords({ ...fine, unsent: 1, failures: 1, following: false }), "1 tap not sent yet, kept on this phone.");
  assert.match(sendingWords({ ...fine, following: false }), /out of reach/);
  assert.match(sendingWords({ ...fine, unsent: 3, removed: true }), /removed.* 3 taps not sent yet/);
  assert.match(sendingWords({ ...fine, unkept: true }), /cannot keep/);
});

test("a page that opened without the bench says of what moment it is", () => {
  assert.match(sendingWords({ ...fine, kept: "2026-03-01T07:30:00.000Z" }), /^Opened without the bench, as it stood on .*26/);
});
