import assert from "node:assert/strict";
import test from "node:test";
import { cellsOf, textOf } from "../../frontend/scripts/logic/pasted-rows.js";

test("cells part at tabs and rows at line ends, whatever machine wrote them", () => {
  assert.deepEqual(cellsOf("A\tLeg\r\nB\tRail\r\n"), [["A", "Leg"], ["B", "Rail"]]);
  assert.deepEqual(cellsOf("A\t\tx"), [["A", "", "x"]]);
  assert.deepEqual(cellsOf("one"), [["one"]]);
});

test("an inch mark stays an inch mark, and a quoted cell may hold tabs, line ends and quotes", () => {
  assert.deepEqual(cellsOf('17 3/4"\t"1"\t"'), [['17 3/4"', "1", '"']]);
  assert.deepEqual(cellsOf('"two\nlines"\t"a ""b"""\nnext'), [["two lines", 'a "b"'], ["next"]]);
});

test("what goes out comes back", () => {
  const rows = [["Leg", '17 3/4"', ""], ['"quoted"', "x", "y"]];
  assert.deepEqual(cellsOf(textOf(rows)), rows);
});
