// The dry fit of a unit: the bench's word { here: [piece], dry: [joint] } with this phone's own taps laid over it.

// `mine` has this page's own ticks by id: what is taken back is taken out of the bench's word until it knows.
/**
 * @param {{ here: number[], dry: string[] }} word
 * @param {Told[]} taps
 * @param {{ unit: number, mine?: Map<string, string> }} page
 */
export function dryFitAfter(word, taps, { unit, mine = new Map() }) {
  const undone = new Set(taps.filter((one) => one.kind === "undo").map((one) => one.body.event));
  const [here, dry] = [new Set(word.here), new Set(word.dry)];
  for (const id of undone) dry.delete(mine.get(id) ?? "");
  for (const { id, kind, body } of taps) {
    if (undone.has(id)) continue;
    if (kind === "piece scanned") here.add(body.piece);
    if (kind === "dry fit ticked" && body.unit === unit) dry.add(body.joint);
  }
  return { here, dry };
}
