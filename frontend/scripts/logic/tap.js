// A tap as it is kept and sent: an event with an id and a time made on this phone. Random bytes and time come in.
export function tap(kind, body, { bytes, now }) {
  const id = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return { id, kind, at: new Date(now).toISOString(), body };
}

// Pieces of a part, mirrored ones apart: how a count is named on a page and in how things stand.
export function slotOf({ mark, mirrored = false }) {
  return mirrored ? `${mark}~` : mark;
}

export function partOf(slot) {
  return slot.endsWith("~") ? { mark: slot.slice(0, -1), mirrored: true } : { mark: slot };
}
