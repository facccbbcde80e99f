// A tap as it is kept and sent: an event with an id and a time made on this phone. Random bytes and time come in.
// `shares` says whose it is where several jobs are worked together.
export function tap(kind, body, { bytes, now, shares }) {
  const id = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return { id, kind, at: new Date(now).toISOString(), body, ...(shares && { shares }) };
}

// Whose a tap on a run is: for pieces, boards and strips the job of their line, else all jobs of the run; undefined
// where the sheet is one job's.
export function sharesIn(run, body) {
  if (!run.shares) return undefined;
  return body.mark === undefined ? run.shares : [run.pieces.find((piece) => piece.slot === slotOf(body)).share];
}

// Pieces of a part, mirrored ones apart: how a count is named on a page and in how things stand.
export function slotOf({ mark, mirrored = false }) {
  return mirrored ? `${mark}~` : mark;
}

export function partOf(slot) {
  return slot.endsWith("~") ? { mark: slot.slice(0, -1), mirrored: true } : { mark: slot };
}
