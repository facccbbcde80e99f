// Sorting: where a scanned piece goes, what a wrong or second scan says, what each unit lacks.
import assert from "node:assert/strict";
import test from "node:test";
import { alike, judge, layOver, spread, summary, unitsOf } from "../../frontend/scripts/logic/sorting.js";

const PIECES = [
  { index: 0, label: "A-01", name: "Leg", unit: 1 },
  { index: 1, label: "A-02", name: "Leg", unit: 2 },
  { index: 2, label: "A-03", name: "Leg", unit: null },
  { index: 3, label: "B-01", name: "Rail", unit: 1 },
];
const WORD = { seq: 4, sorted: {}, spoiled: [], waits: { 3: "run 6, saw, crosscut" } };
const byIndex = new Map(PIECES.map((piece) => [piece.index, piece]));
const sorted = (id, piece, unit) => ({ id, kind: "piece sorted", body: { piece, unit } });
const look = (index, taps = [], word = WORD) => judge({ job: "3", index }, { job: "3", byIndex, state: layOver(word, taps) });

test("a piece goes to its unit", () => {
  assert.deepEqual([look(0).kind, look(0).piece.unit, look(0).words], ["place", 1, ""]);
});

test("a second scan says where the piece lies", () => {
  assert.equal(look(0, [sorted("t1", 0, 1)]).kind, "double");
  assert.equal(look(0, [sorted("t1", 0, 1), { id: "u", kind: "undo", body: { event: "t1" } }]).kind, "place");
});

test("a piece that lay with the wrong unit is sent to its own", () => {
  const verdict = look(0, [sorted("t1", 0, 2)]);
  assert.deepEqual([verdict.kind, verdict.words], ["place", "It lay with unit 2: take it to unit 1."]);
});

test("a piece that by the counts is not through is placed all the same, and that is said", () => {
  assert.match(look(3).words, /still waits for run 6/);
});

test("what is of another job, unknown, spare, spoiled or misread goes to no unit", () => {
  assert.equal(judge({ job: "4", index: 0 }, { job: "3", byIndex, state: layOver(WORD, []) }).kind, "wrong");
  assert.match(judge({ job: "4", index: 0 }, { job: "3", byIndex, state: layOver(WORD, []), jobs: { 4: "Drawers" } }).words, /another job, “Drawers”, number 4/);
  assert.equal(judge({ job: "0", index: 9 }, { job: "3", byIndex, state: layOver(WORD, []) }).words, "This is the label of an offcut. It belongs on the shelf.");
  assert.equal(look(99).kind, "wrong");
  assert.equal(look(2).kind, "spare");
  assert.equal(look(0, [], { ...WORD, spoiled: [0] }).kind, "wrong");
  assert.equal(judge({ fault: "cannot be right" }, { job: "3", byIndex, state: layOver(WORD, []) }).kind, "misread");
});

test("units are counted with what they lack and where it is", () => {
  const units = unitsOf(PIECES, layOver({ ...WORD, spoiled: [1] }, [sorted("t1", 0, 1)]));
  assert.deepEqual(
    units.map((unit) => [unit.unit, unit.here, unit.total, unit.missing.map((one) => `${one.piece.label}: ${one.why}`)]),
    [
      [1, 1, 2, ["B-01: at run 6, saw, crosscut"]],
      [2, 0, 1, ["A-02: to be made again"]],
    ],
  );
  assert.equal(summary(units), "2 pieces are missing in 2 of 2 units.");
  assert.equal(summary(unitsOf(PIECES, layOver({ ...WORD, sorted: { 0: 1, 1: 2, 3: 1 } }, []))), "All 2 units are complete.");
});

test("missing pieces of one name that wait for the same thing are drawn together", () => {
  const [unit] = unitsOf(PIECES.map((piece) => ({ ...piece, unit: 1 })), layOver({ ...WORD, spoiled: [1] }, []));
  assert.deepEqual(
    alike(unit.missing).map((one) => `${one.pieces.map((piece) => piece.label).join(", ")} ${one.name}: ${one.why}`),
    ["A-01, A-03 Leg: ready", "A-02 Leg: to be made again", "B-01 Rail: at run 6, saw, crosscut"],
  );
});

test("taking back a scan that the bench has counted already gives the place before it back", () => {
  const undo = [{ id: "u", kind: "undo", body: { event: "t1" } }];
  const word = { ...WORD, sorted: { 0: 1 } };
  assert.equal(layOver(word, undo, new Map([["t1", { piece: 0, before: undefined }]])).sorted[0], undefined);
  assert.equal(layOver(word, undo, new Map([["t1", { piece: 0, before: 2 }]])).sorted[0], 2);
});

test("the bench's word tells of spans of pieces, and is spread out to each of them", () => {
  const word = spread({ seq: 4, spoiled: [7], sorted: { 2: [[0, 2], [9, 9]] }, waits: { "run 6, saw": [[4, 5]] } });
  assert.deepEqual(word, { seq: 4, spoiled: [7], sorted: { 0: 2, 1: 2, 2: 2, 9: 2 }, waits: { 4: "run 6, saw", 5: "run 6, saw" } });
});

test("a piece that has not come to this phone yet is no foreign one", () => {
  const state = layOver(WORD, []);
  assert.match(judge({ job: "3", index: 50 }, { job: "3", byIndex, state, lacks: (index) => index >= 50 }).words, /has not come to this phone yet/);
  assert.match(judge({ job: "3", index: 49 }, { job: "3", byIndex, state, lacks: (index) => index >= 50 }).words, /no such piece/);
});
