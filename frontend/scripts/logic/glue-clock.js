// The open time of a glue, from the moment it was begun and not from ticks: it is right after a phone has slept.

/** @typedef {{ begun: string, glue: string, closed: string[], done: string }} Stage  as the bench last said; times as text or "" */

// { text, over, near, words } at `now`; times in milliseconds, `open` in minutes, null when the shop does not know it.
/** @param {{ begun: number, open: number | null, now: number }} glue */
export function glueClock({ begun, open, now }) {
  const gone = Math.max(0, now - begun);
  if (open === null) return { text: clock(gone), over: false, near: false, words: "since the glue is open; its open time is not known" };
  const left = open * 60000 - gone;
  if (left < 0) {
    return { text: `+${clock(-left)}`, over: true, near: false, words: "over the open time. Close what is open now; a joint not closed yet: clean it and glue it anew." };
  }
  return { text: clock(left), over: false, near: left < 120000, words: "left to have every clamp on" };
}

// What has sounded or is to sound at `now`: "half" of the open time is gone, its "end", the "clamps" may come off; "" before.
// `begun` and `done` are times in milliseconds, `done` 0 while it is open; minutes are null where the shop knows none.
/** @param {{ begun: number, done: number, open: number | null, clamp: number | null, now: number }} stage */
export function alarmAt({ begun, done, open, clamp, now }) {
  if (done) return clamp && now >= done + clamp * 60000 ? "clamps" : "";
  if (!begun || open === null) return "";
  const gone = now - begun;
  return gone >= open * 60000 ? "end" : gone >= open * 30000 ? "half" : "";
}

// Minutes and seconds; what has begun of a second does not count.
/** @param {number} milliseconds */
export function clock(milliseconds) {
  const seconds = Math.floor(milliseconds / 1000);
  const [hours, minutes] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60];
  /** @type {(number: number) => string} */
  const two = (number) => String(number).padStart(2, "0");
  return hours ? `${hours}:${two(minutes)}:${two(seconds % 60)}` : `${minutes}:${two(seconds % 60)}`;
}

// How a stage stands after taps the bench has not counted: { begun, glue, closed, done }, times as text or "".
// `mine` has this page's own taps by id: what is taken back is taken out of the bench's word until it knows.
/**
 * @param {Stage | undefined} stands
 * @param {Pick<Tap, "id" | "kind" | "at" | "body">[]} taps
 * @param {{ unit: number, stage: number, mine?: Map<string, Pick<Tap, "kind" | "body">> }} page
 */
export function stageAfter(stands, taps, { unit, stage, mine = new Map() }) {
  const after = { begun: stands?.begun ?? "", glue: stands?.glue ?? "", closed: new Set(stands?.closed ?? []), done: stands?.done ?? "" };
  const undone = new Set(taps.filter((one) => one.kind === "undo").map((one) => one.body.event));
  for (const id of undone) {
    const { kind, body } = mine.get(id) ?? { kind: "", body: {} };
    if (kind === "joint closed") after.closed.delete(body.joint);
    if (kind === "glue-up done") after.done = "";
    if (kind === "glue-up begun") [after.begun, after.glue] = ["", ""];
  }
  for (const { id, kind, at, body } of taps) {
    if (undone.has(id) || body.unit !== unit || body.stage !== stage) continue;
    if (kind === "glue-up begun" && !after.begun) [after.begun, after.glue] = [at, body.glue];
    if (kind === "joint closed") after.closed.add(body.joint);
    if (kind === "glue-up done") after.done ||= at;
  }
  return after;
}

// The time of day, hours and minutes as this phone writes them.
/** @param {number} milliseconds */
export function timeOfDay(milliseconds) {
  return new Date(milliseconds).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
}
