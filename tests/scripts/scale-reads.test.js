import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { scaleReads } from "../../frontend/scripts/logic/scale-reads.js";

const { runs, cases } = JSON.parse(readFileSync(new URL("scale-reads.json", import.meta.url), "utf8"));
const sheet = runs.map(({ number, station, stops }) => ({
  number,
  station,
  key: `run ${number}`,
  scales: stops.map(([axis, at, reads, move]) => ({ axis, at, reads, set: move === "set" })),
}));

for (const { why, readings, wanted } of cases) {
  test(why, () => {
    const states = Object.fromEntries(
      Object.entries(readings).map(([number, axes]) => [`run ${number}`, { readings: Object.fromEntries(Object.entries(axes).map(([axis, nm]) => [axis, { nm, texts: [] }])) }]),
    );
    for (const run of sheet) {
      const found = Object.entries(scaleReads(run, sheet, states)).map(([axis, { nm, since }]) => [axis, [nm, since]]);
      assert.deepEqual(Object.fromEntries(found), wanted[run.number] ?? {}, `run ${run.number}`);
    }
  });
}
