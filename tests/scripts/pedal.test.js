import assert from "node:assert/strict";
import test from "node:test";
import { BOUNCE, isPress, keyName, lineOf } from "../../frontend/scripts/logic/pedal.js";

test("any key that a pedal, a presenter or a shutter sends has a name, keys of the page have none", () => {
  assert.equal(keyName({ key: "PageDown", code: "PageDown" }), "PageDown");
  assert.equal(keyName({ key: "AudioVolumeUp", code: "" }), "AudioVolumeUp");
  assert.equal(keyName({ key: "Unidentified", code: "", keyCode: 183 }), "key 183");
  assert.equal(keyName({ key: " ", code: "Space" }), "Space");
  assert.deepEqual(["Tab", "Escape", "Shift"].map((key) => keyName({ key, code: key })), ["", "", ""]);
});

test("a held key and a bounce are no press", () => {
  assert.equal(isPress({ repeat: false }, -Infinity, 0), true);
  assert.equal(isPress({ repeat: true }, -Infinity, 0), false);
  assert.equal(isPress({ repeat: false }, 1000, 1000 + BOUNCE - 1), false);
  assert.equal(isPress({ repeat: false }, 1000, 1000 + BOUNCE), true);
});

test("a press counts the line tapped last while anything of it is missing, then the first that lacks something", () => {
  const missing = [{ slot: "A" }, { slot: "B~" }];
  assert.equal(lineOf(missing, "B~").slot, "B~");
  assert.equal(lineOf(missing, "C").slot, "A");
  assert.equal(lineOf([], "A"), undefined);
});
