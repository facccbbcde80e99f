import assert from "node:assert/strict";
import test from "node:test";
import { cutBefore } from "../../frontend/scripts/logic/changed-sheet.js";

const line = (pieces) => ({ pieces, station: "saw", stops: [{ axis: "rip fence", texts: ["84 mm", "3 5/16 in"] }] });
const plain = (parts) => parts.map((part) => (typeof part === "string" ? part : part[0])).join("");

test("pieces cut at the old size are named with the stop they were cut at", () => {
  assert.equal(plain(cutBefore([line("5 × B")])), "Cut by the old one: 5 × B at the saw, rip fence 84 mm. See whether they still fit before you go on.");
  assert.deepEqual(cutBefore([line("5 × B")]).find(Array.isArray), ["84 mm", "3 5/16 in"]); // switches with the page
});

test("many are told in few words", () => {
  const said = plain(cutBefore(["1 × A", "2 × B", "3 × C", "4 × D"].map(line)));
  assert.match(said, /1 × A.*; 2 × B.*; 3 × C.*; and 1 more run\./);
});

test("nothing cut by the old sheet is said too", () => {
  assert.equal(plain(cutBefore([])), "What is cut so far belongs to the new one too.");
});
