import assert from "node:assert/strict";
import test from "node:test";
import * as edit from "../../frontend/scripts/logic/list-edit.js";

const fields = ["mark", "name", "length"];
const rows = [{ mark: "A", name: "Leg", length: "450" }, { mark: "B", name: "Rail", length: "244" }, { mark: "C", name: "Slat", length: "300" }];
const list = () => edit.listOf(fields, rows, ["mark"]);
const names = (now) => now.rows.map((row) => row.cells.name);
const at = (row, column, now = list()) => edit.standAt(now, row, column);
const marked = (from, to) => edit.standAt(at(...from), ...to, { extend: true });

test("writing in the blank row below the last makes a row, writing nothing there makes none", () => {
  const more = edit.write(at(3, 1), "Peg");
  assert.deepEqual(names(more), ["Leg", "Rail", "Slat", "Peg"]);
  assert.deepEqual(more.rows[3].cells, { name: "Peg" });
  assert.equal(edit.write(at(3, 1), "").rows.length, 3);
});

test("writing what stands there already is no change to undo", () => {
  assert.equal(edit.write(at(0, 1), "Leg").past.length, 0);
});

test("one goes from cell to cell, row by row, and stops at the ends", () => {
  assert.deepEqual(edit.onward(at(0, 2), 1).at, { row: 1, column: 0 });
  assert.deepEqual(edit.onward(at(1, 0), -1).at, { row: 0, column: 2 });
  const last = at(3, 2);
  assert.equal(edit.onward(last, 1), last);
  assert.deepEqual(edit.step(at(0, 0), -5, 9).at, { row: 0, column: 2 });
});

test("a block goes down at the marked place, makes rows, and tells how many columns did not fit", () => {
  const { list: now, leftOut } = edit.putDown(at(2, 1), [["Seat", "360", "extra"], ["Peg", "60"]]);
  assert.deepEqual(names(now), ["Leg", "Rail", "Seat", "Peg"]);
  assert.equal(now.rows[3].cells.length, "60");
  assert.equal(leftOut, 1);
});

test("a single cell goes into every marked one", () => {
  const { list: now } = edit.putDown(marked([0, 2], [2, 2]), [["500"]]);
  assert.deepEqual(now.rows.map((row) => row.cells.length), ["500", "500", "500"]);
});

test("marked cells are emptied, rows stay", () => {
  const now = edit.clear(marked([0, 1], [1, 2]));
  assert.deepEqual(now.rows[1].cells, { mark: "B", name: "", length: "" });
  assert.equal(now.rows.length, 3);
});

test("a copied row leaves its mark behind, a deleted one is gone, a moved one keeps what was marked", () => {
  const copied = edit.copyRows(at(1, 1));
  assert.deepEqual(names(copied), ["Leg", "Rail", "Rail", "Slat"]);
  assert.deepEqual(copied.rows[2].cells, { name: "Rail", length: "244" });
  assert.deepEqual(names(edit.deleteRows(marked([0, 0], [1, 0]))), ["Slat"]);
  const moved = edit.moveRows(marked([0, 0], [1, 2]), 1);
  assert.deepEqual(names(moved), ["Slat", "Leg", "Rail"]);
  assert.deepEqual(edit.marked(moved), { top: 1, bottom: 2, left: 0, right: 2 });
  assert.equal(edit.moveRows(moved, 1), moved);
});

test("rows have keys of their own that stay with them", () => {
  const now = edit.moveRows(edit.copyRows(at(0, 0)), 1);
  assert.deepEqual(now.rows.map((row) => row.key).toSorted(), [0, 1, 2, 3]);
  assert.equal(now.rows.find((row) => row.key === 1).cells.name, "Rail");
});

test("everything can be undone and done again, and a change after an undo ends what lay ahead", () => {
  const changes = [(one) => edit.write(edit.standAt(one, 0, 1), "Front leg"), edit.copyRows, edit.deleteRows, edit.addRow, (one) => edit.addFilled(one, [{ name: "Peg" }])];
  let now = list();
  const states = [names(now)];
  for (const change of changes) states.push(names((now = change(now))));
  for (const before of states.slice(0, -1).toReversed()) assert.deepEqual(names((now = edit.undo(now))), before);
  assert.deepEqual(names(edit.undo(now)), states[0]);
  for (const after of states.slice(1)) assert.deepEqual(names((now = edit.redo(now))), after);
  assert.equal(edit.write(edit.standAt(edit.undo(now), 0, 1), "Other").future.length, 0);
});

test("only rows that hold something are sent", () => {
  const { rows: sent, keys } = edit.filled(edit.addRow(at(0, 0)));
  assert.deepEqual(sent, rows);
  assert.deepEqual(keys, [0, 1, 2]);
});

test("the one choice that begins so is meant, else what was typed", () => {
  const kinds = ["board", "sheet", "offcut", "offcut of a sheet"];
  assert.deepEqual(["sh", "Boa", "offcut", "off", "x", ""].map((typed) => edit.completed(typed, kinds)), ["sheet", "board", "offcut", "off", "x", ""]);
});

test("cells written otherwise by the bench are so in what can be undone too, and what was changed since stays", () => {
  const before = list();
  const { rows: sent, keys } = edit.filled(before);
  const typed = edit.write(at(1, 2, before), "20");
  const after = sent.map((cells) => ({ ...cells, length: `${cells.length} mm` }));
  const now = edit.retyped(typed, keys, sent, after);
  assert.deepEqual(now.rows.map((row) => row.cells.length), ["450 mm", "20", "300 mm"]);
  assert.deepEqual(edit.undo(now).rows.map((row) => row.cells.length), ["450 mm", "244 mm", "300 mm"]);
  assert.equal(now.past.length, 1);
});

test("a row is split in two with its pieces shared out, whole pairs in each, and only the first keeps its mark", () => {
  const legs = [{ mark: "A", name: "Leg", quantity: "24", hand: "pairs" }, { mark: "B", name: "Leg", quantity: "6", hand: "pairs" }, { mark: "C", name: "Rail", quantity: "5" }, { mark: "D", name: "Seat", quantity: "1" }, { mark: "E", name: "Peg", quantity: "2", hand: "pairs" }, { mark: "F", name: "Slat", quantity: "" }];
  const start = edit.listOf(["mark", "name", "quantity", "hand"], legs, ["mark"]);
  const all = edit.standAt(edit.standAt(start, 0, 0), 5, 0, { extend: true });
  const told = edit.splitRows(all).rows.map(({ cells }) => [cells.mark, cells.quantity]);
  assert.deepEqual(told, [["A", "12"], [undefined, "12"], ["B", "4"], [undefined, "2"], ["C", "3"], [undefined, "2"], ["D", "1"], ["E", "2"], ["F", ""]]);
  const one = edit.splitRows(edit.standAt(start, 0, 2));
  assert.deepEqual(one.rows.slice(0, 3).map((row) => row.cells.quantity), ["12", "12", "6"]);
  assert.equal(one.rows[1].cells.hand, "pairs");
  assert.equal(new Set(one.rows.map((row) => row.key)).size, one.rows.length);
  assert.deepEqual(edit.undo(one).rows, start.rows);
  assert.equal(edit.splitRows(edit.standAt(start, 3, 0)).past.length, 0);
});
