// Codes on the phone: the same as the bench writes (model/codes.py), every slip of one character or of two caught.
import assert from "node:assert/strict";
import test from "node:test";
import { codeIn, labelIn, spaced } from "../../frontend/scripts/logic/piece-code.js";

const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
// encode(3, 6) in model/codes.py
const CODE = "00C006J";

test("a code is read as the bench wrote it", () => {
  assert.deepEqual(codeIn(CODE), { code: CODE, job: "3", index: 6 });
  assert.equal(spaced(CODE), "00C-006J");
});

test("small letters, dashes, spaces, O for 0 and the address on the label are read too", () => {
  for (const text of ["ooc-oo6j", " 00C 006J ", "HTTP://192.168.1.5:8765/P/00C006J", "http://bench.local/p/00c-006j"]) assert.equal(codeIn(text).code, CODE, text);
});

test("every single wrong character is caught", () => {
  for (let place = 0; place < CODE.length; place += 1) {
    for (const sign of ALPHABET) {
      if (sign === CODE[place]) continue;
      const wrong = CODE.slice(0, place) + sign + CODE.slice(place + 1);
      assert.ok(codeIn(wrong).fault, wrong);
    }
  }
});

test("every two characters that changed places are caught", () => {
  for (let one = 0; one < CODE.length; one += 1) {
    for (let other = one + 1; other < CODE.length; other += 1) {
      const signs = [...CODE];
      [signs[one], signs[other]] = [signs[other], signs[one]];
      if (signs.join("") !== CODE) assert.ok(codeIn(signs.join("")).fault, signs.join(""));
    }
  }
});

test("too short, too long and strange signs are told apart", () => {
  assert.equal(codeIn("00C0").short, 3);
  assert.equal(codeIn("").short, 7);
  assert.match(codeIn("00C006JJ").fault, /8/);
  assert.match(codeIn("00C0U6J").fault, /“U” is in no code/);
});

test("the large print of a label is read however it was typed", () => {
  for (const text of ["A-06", "a06", "A 6", "a–06", " a - 6 "]) assert.equal(labelIn(text), "A-06", text);
  assert.equal(labelIn("p1-12"), "P1-12");
  assert.equal(labelIn("door rail 3"), "DOOR RAIL-03");
  for (const text of ["", "06", "A", "00C-006J", "-7"]) assert.equal(labelIn(text), "", text);
});
