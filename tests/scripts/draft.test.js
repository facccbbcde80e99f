import assert from "node:assert/strict";
import test from "node:test";
import { faultsByRow, marksOf, renamed, savingWords, shownFaults, worthKeeping } from "../../frontend/scripts/logic/draft.js";

const fine = { unsaved: false, sending: false, failures: 0, conflict: false, refused: "" };

test("it says Saved only when the bench has everything on disk", () => {
  assert.equal(savingWords(fine), "Saved");
  assert.equal(savingWords({ ...fine, unsaved: true }), "Saving …");
  assert.equal(savingWords({ ...fine, sending: true }), "Saving …");
  assert.match(savingWords({ ...fine, unsaved: true, failures: 2 }), /out of reach.*kept here/);
  assert.match(savingWords({ ...fine, unsaved: true, conflict: true }), /another window/);
  assert.match(savingWords({ ...fine, unsaved: true, refused: "too large" }), /Not saved: too large/);
});

test("a kept draft is of use unless the bench holds the same", () => {
  const now = { rows: [{ mark: "A", note: "" }], settings: { units: "6", name: "x" } };
  assert.equal(worthKeeping(null, now), false);
  assert.equal(worthKeeping({ draft: { rows: [{ mark: "A" }], settings: { name: "x", units: "6" } } }, now), false);
  assert.equal(worthKeeping({ draft: { rows: [{ mark: "B" }], settings: now.settings } }, now), true);
  assert.equal(worthKeeping({ draft: { rows: now.rows, settings: { ...now.settings, units: "7" } } }, now), true);
});

test("faults find their row by its key, wherever it has moved since", () => {
  const faults = [{ row: 1, field: "length" }, { row: -1, field: "units" }, { row: 1, field: "width" }];
  const byRow = faultsByRow(faults, [7, 4]);
  assert.deepEqual(byRow.get(4).map((fault) => fault.field), ["length", "width"]);
  assert.equal(byRow.get("").length, 1);
});

test("what is only not there yet is not held against the row one is filling in", () => {
  const faults = [{ field: "length" }, { field: "width" }];
  assert.deepEqual(shownFaults(faults, { length: "abc" }, true), [{ field: "length" }]);
  assert.equal(shownFaults(faults, { length: "abc" }, false).length, 2);
});

test("a part that is given another mark is known by its key, and a mark that stood twice names nobody", () => {
  const known = marksOf([{ mark: "A" }, {}, { mark: "C" }, { mark: "C" }], [5, 6, 7, 8], [{}, { mark: "B" }, {}, {}]);
  assert.deepEqual([...known.values()], ["A", "B", "C", "C"]);
  const rows = [{ mark: "B" }, { mark: "A" }, { mark: "D" }, { mark: "E" }];
  assert.deepEqual(renamed(known, rows, [5, 6, 7, 9]), { A: "B", B: "A" });
  assert.deepEqual(renamed(known, [{ mark: "A" }, { mark: "" }], [5, 6]), {});
});
