import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { UNTOUCHED, layOver, uncounted } from "../../frontend/scripts/logic/standing.js";

const cut = (id, count, more = {}) => ({ id, kind: "piece cut", body: { run: "saw", mark: "B", count, ...more } });
const undo = (id, event) => ({ id, kind: "undo", body: { event } });

test("kept taps are laid over the bench's word, which stays as it is", () => {
  const word = { saw: { ...UNTOUCHED, set: true, cut: { B: 3 } } };
  const after = layOver(word, [cut("a", 5), cut("b", 1, { mirrored: true })]);
  assert.deepEqual(after.saw.cut, { B: 8, "B~": 1 });
  assert.deepEqual(word.saw.cut, { B: 3 });
});

test("a run the bench has never heard of begins with the first tap", () => {
  const after = layOver({}, [{ id: "s", kind: "stop set", body: { run: "saw" } }]);
  assert.equal(after.saw.set, true);
  assert.equal(after.saw.done, false);
});

test("an undo takes back a kept tap, whichever comes first", () => {
  assert.deepEqual(layOver({}, [cut("a", 5), undo("u", "a")]), {});
  assert.deepEqual(layOver({}, [undo("u", "a"), cut("a", 5)]), {});
});

test("an undo takes back what the bench has counted", () => {
  const taps = [{ id: "a", kind: "piece cut", slot: "B", count: 5 }, { id: "d", kind: "run done" }];
  const word = { saw: { ...UNTOUCHED, set: true, done: true, cut: { B: 7 }, taps } };
  const after = layOver(word, [undo("u1", "d"), undo("u2", "a")]);
  assert.deepEqual(after.saw.cut, { B: 2 });
  assert.equal(after.saw.done, false);
  assert.deepEqual(after.saw.taps, []);
});

test("a spoiled piece is one good piece less only when it had been counted", () => {
  const word = { saw: { ...UNTOUCHED, cut: { B: 4 } } };
  const spoiled = (counted) => ({ id: "x", kind: "piece spoiled", body: { run: "saw", mark: "B", count: 1, counted } });
  assert.deepEqual(layOver(word, [spoiled(true)]).saw.cut, { B: 3 });
  assert.deepEqual(layOver(word, [spoiled(false)]).saw.cut, { B: 4 });
  assert.deepEqual(layOver(word, [spoiled(false)]).saw.spoiled, { B: 1 });
});

test("a measured piece waits until the bench has judged it", () => {
  const measured = { id: "m", kind: "piece measured", body: { run: "saw", axis: "rip fence", text: "60,4" } };
  assert.deepEqual(layOver({}, [measured]).saw.trials, [{ axis: "rip fence", waiting: true, text: "60,4" }]);
});

test("a tap counts until the bench's word includes it: by its id, or by the place it got in the log", () => {
  const kept = [{ id: "a" }, { id: "b", seq: 7 }, { id: "c", seq: 9 }];
  assert.deepEqual(uncounted(kept, 8, new Set()).map((one) => one.id), ["a", "c"]);
  assert.deepEqual(uncounted(kept, 8, new Set(["a"])).map((one) => one.id), ["c"]);
});

test("counts over and spoiled are folded as the bench folds them", () => {
  const vectors = JSON.parse(readFileSync(new URL("counts.json", import.meta.url), "utf8"));
  assert.ok(vectors.length > 5);
  for (const { why, taps, ...wanted } of vectors) {
    const events = taps.map(([what, count], place) => {
      const body = { run: "saw", mark: "A", count };
      if (what === "cut") return { id: String(place), kind: "piece cut", body };
      return { id: String(place), kind: "piece spoiled", body: { ...body, counted: what === "spoiled", need: 24 } };
    });
    const { saw } = layOver({}, events);
    assert.deepEqual([saw.cut.A ?? 0, saw.spoiled.A ?? 0], [wanted.cut, wanted.spoiled], why);
  }
});

test("stops made one by one are folded as the bench folds them, whichever of the taps it knows already", () => {
  const vectors = JSON.parse(readFileSync(new URL("made-stops.json", import.meta.url), "utf8"));
  assert.ok(vectors.length > 4);
  for (const { why, taps, made, set } of vectors) {
    const events = taps.map(([id, kind, what]) => ({ id, kind, body: kind === "undo" ? { event: what } : { run: "saw", axis: what } }));
    const here = layOver({}, events).saw;
    assert.deepEqual([here.made, here.set], [made, set], why);
    const known = layOver({}, events.slice(0, -1)); // as the bench's word would say it
    const { saw } = layOver(known, events.slice(-1));
    assert.deepEqual([saw.made, saw.set], [made, set], why);
  }
});

test("notes on a set-up, as the bench folds them", () => {
  const vectors = JSON.parse(readFileSync(new URL("notes.json", import.meta.url), "utf8"));
  for (const { why, taps, notes } of vectors) {
    const made = taps.map(([id, kind, what]) => (kind === "undo" ? { id, kind, body: { event: what } } : { id, kind: `run ${kind}`, body: { run: "r1", ...(kind === "noted" ? { text: what } : { jpeg: "" }) } }));
    const { r1 } = layOver({ r1: UNTOUCHED }, made);
    assert.deepEqual(r1.notes.map(({ id, text, picture }) => [id, text, picture]), notes, why);
    assert.deepEqual([r1.set, r1.done, r1.cut], [false, false, {}], why);
  }
});

test("a note that the bench knows goes when it is taken back here", () => {
  const known = { ...UNTOUCHED, notes: [{ id: "n1", text: "push block", picture: false }] };
  assert.deepEqual(layOver({ r1: known }, [{ id: "u1", kind: "undo", body: { event: "n1" } }]).r1.notes, []);
});
