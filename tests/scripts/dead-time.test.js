import assert from "node:assert/strict";
import test from "node:test";
import { BOUNCE, DEAD, DeadTime } from "../../frontend/scripts/logic/dead-time.js";

test("taps of a bounce, 60 to 250 ms after a change of screen, are blind; half a second later they count", () => {
  const dead = new DeadTime();
  dead.see("run 1, count", 0);
  dead.see("run 2, set", 10_000);
  for (const later of [0, 60, 120, 250, DEAD - 1]) assert.equal(dead.isBlind(10_000 + later), true, String(later));
  assert.equal(dead.isBlind(10_000 + DEAD), false);
});

test("a tap that the busy page hears late is judged by when the finger tapped", () => {
  const dead = new DeadTime();
  dead.see("run 1", 0);
  dead.see("run 2", 5_000);
  assert.equal(dead.isBlind(4_990), true); // tapped while run 1 was still on the screen
});

test("while the screen stays the same every tap counts", () => {
  const dead = new DeadTime();
  assert.equal(dead.see("run 1, count", 0), true);
  assert.equal(dead.see("run 1, count", 900), false);
  for (const at of [900, 960, 1_020]) assert.equal(dead.isBlind(at), false);
});

test("dead time begins anew when something moved though the screen is the same", () => {
  const dead = new DeadTime();
  dead.see("run 1, count", 0);
  dead.begin(2_000);
  assert.equal(dead.isBlind(2_300), true);
  assert.equal(dead.isBlind(2_500), false);
});

test("a bounce is the same press once more, a tap a moment later is a tap of its own", () => {
  const dead = new DeadTime();
  assert.equal(dead.isBounce(0), false); // nothing was tapped before
  dead.took(1_000);
  for (const later of [0, 60, BOUNCE]) assert.equal(dead.isBounce(1_000 + later), true, String(later));
  assert.equal(dead.isBounce(1_001 + BOUNCE), false);
});
