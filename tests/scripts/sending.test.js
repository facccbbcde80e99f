import assert from "node:assert/strict";
import test from "node:test";
import { PORTION, nextPortion, pause, sendingWords } from "../../frontend/scripts/logic/sending.js";

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

test("the wait doubles with every failure and stays below a quarter of a minute", () => {
  assert.deepEqual([0, 1, 2, 3, 9].map(pause), [0, 1000, 2000, 4000, 15000]);
});

const fine = { unsent: 0, failures: 0, refused: 0, shutOut: false, unkept: false, following: true };

test("nothing is said while all is on the bench's disk, and before anything is known", () => {
  assert.equal(sendingWords(fine), "");
  assert.equal(sendingWords({ ...fine, following: null }), "");
});

test("what is not sent is said plainly", () => {
  assert.equal(sendingWords({ ...fine, unsent: 1, failures: 1, following: false }), "1 tap not sent yet, kept on this phone.");
  assert.match(sendingWords({ ...fine, following: false }), /out of reach/);
  assert.match(sendingWords({ ...fine, unsent: 3, shutOut: true }), /shut out.* 3 taps not sent yet/);
  assert.match(sendingWords({ ...fine, unkept: true }), /cannot keep/);
});

test("a page that opened without the bench says of what moment it is", () => {
  assert.match(sendingWords({ ...fine, kept: "2026-03-01T07:30:00.000Z" }), /^Opened without the bench, as it stood on .*26/);
});
