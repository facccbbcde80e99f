// When and in what portions kept taps go to the bench, what becomes of those it does not take, and what is said of it.
export const PORTION = 50;

// Answers after which nothing is sent for a while: out of reach, removed, too busy, its disk in trouble.
const WAIT = new Set([0, 403, 408, 429, 503]);

// The next portion: the oldest unsent taps of one job, in the order of tapping; undefined when all are sent. Taps whose
// ids are in `passedOver` are left for later, those in `alone` go by themselves: one of them is what the bench stumbles over.
/** @param {KeptTap[]} kept @param {{ passedOver?: Set<string>, alone?: Set<string> }} [round] */
export function nextPortion(kept, { passedOver = new Set(), alone = new Set() } = {}) {
  const unsent = kept.filter((one) => !one.seq && !one.refused && !passedOver.has(one.id));
  if (!unsent.length) return undefined;
  const [{ job, id }] = unsent;
  if (alone.has(id)) return { job, taps: unsent.slice(0, 1) };
  const end = unsent.findIndex((one) => one.job !== job || alone.has(one.id));
  return { job, taps: unsent.slice(0, end === -1 ? PORTION : Math.min(end, PORTION)) };
}

// What an answer { ok, status, data } to a portion of so many taps with these ids means: "taken" (each is on disk or
// refused by name), "aside" (it will never be taken), "apart" (send one by one), "over" (pass it over, the others go
// on), "wait" (send nothing for a while).
/**
 * @param {{ ok: boolean, status: number, data?: any }} answer
 * @param {string[]} ids
 * @returns {"taken" | "aside" | "apart" | "over" | "wait"}
 */
export function meaningOf({ ok, status, data }, ids) {
  if (ok) return ids.every((id) => data?.stored?.[id] || data?.refused?.[id]) ? "taken" : "wait";
  if (WAIT.has(status)) return "wait";
  if (status === 404 && data?.error) return "aside";
  if (ids.length > 1) return "apart";
  return status < 500 && data?.error ? "aside" : "over";
}

// Whether a kept entry is a tap that can be sent at all; storage may have been cut off or written by something else.
/** @param {any} one @returns {one is KeptTap} */
export function isTap(one) {
  const texts = [one?.id, one?.kind, one?.at, one?.job];
  return texts.every((text) => typeof text === "string" && text) && typeof one.body === "object" && one.body !== null;
}

// Milliseconds to wait after so many failures in a row: soon at first, never longer than a quarter of a minute.
/** @param {number} failures */
export function pause(failures) {
  return failures ? Math.min(1000 * 2 ** (failures - 1), 15000) : 0;
}

// What a tap that was set aside was, and why: sentences.
/** @param {Partial<KeptTap> & { refused: Fault }} aside */
export function asideWords({ job, kind, body = {}, refused }) {
  const what = kind === undefined ? "" : `Job ${job}, ${kind}${body.mark ? ` ${body.count ?? 1} × ${body.mark}${body.mirrored ? " mirrored" : ""}` : ""}`;
  return [what, refused.what, refused.next_step].filter(Boolean);
}

// When a page was kept: day and time as this phone writes them.
/** @param {string} kept */
function keptWords(kept) {
  return new Date(kept).toLocaleString([], { dateStyle: "short", timeStyle: "short" });
}

// What is said about taps that the bench has not acknowledged; empty when there is nothing to say.
/**
 * @param {{ unsent: number, failures?: number, refused?: number, removed?: boolean, unkept?: boolean, following?: boolean | null, kept?: string }} standing
 */
export function sendingWords({ unsent, failures, refused, removed, unkept, following, kept }) {
  const words = [];
  if (removed) words.push("This phone was removed at the bench.");
  if (kept) words.push(`Opened without the bench, as it stood on ${keptWords(kept)}.`);
  if (unsent && (failures || removed)) words.push(`${unsent} ${unsent === 1 ? "tap" : "taps"} not sent yet, kept on this phone.`);
  else if (following === false) words.push("The bench is out of reach. Go on: taps are kept on this phone.");
  if (refused) words.push(`${refused} ${refused === 1 ? "tap was" : "taps were"} not taken and set aside.`);
  if (unkept) words.push("This phone cannot keep taps when the page is closed.");
  return words.join(" ");
}
