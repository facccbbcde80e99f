// A tap as it is kept and sent: an event with an id and a time made on this phone. Random bytes and time come in.
// `shares` says whose it is where several jobs are worked together.
/**
 * @param {string} kind
 * @param {Details} body
 * @param {{ bytes: Iterable<number>, now: number, shares?: Share[] }} made
 * @returns {Tap}
 */
export function tap(kind, body, { bytes, now, shares }) {
  const id = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return { id, kind, at: new Date(now).toISOString(), body, ...(shares && { shares }) };
}

// Whose a tap on a run is: for pieces, boards and strips the job of their line, else all jobs of the run; undefined
// where the sheet is one job's.
/** @param {Pick<Run, "shares" | "pieces">} run @param {Details} body */
export function sharesIn(run, body) {
  if (!run.shares) return undefined;
  return body.mark === undefined ? run.shares : run.pieces.filter((piece) => piece.slot === slotOf(body)).flatMap((piece) => piece.share ?? []);
}

// Pieces of a part, mirrored ones apart: how a count is named on a page and in how things stand.
/** @param {Details | { mark: string, mirrored?: boolean }} part @returns {string} */
export function slotOf({ mark, mirrored = false }) {
  return mirrored ? `${mark}~` : mark;
}

/** @param {string} slot @returns {{ mark: string, mirrored?: boolean }} */
export function partOf(slot) {
  return slot.endsWith("~") ? { mark: slot.slice(0, -1), mirrored: true } : { mark: slot };
}
