// When and in what portions kept taps go to the bench.
export const PORTION = 50;

// The next portion: the oldest unsent taps of one job, in the order of tapping; undefined when all are sent.
export function nextPortion(kept) {
  const unsent = kept.filter((one) => !one.seq && !one.refused);
  if (!unsent.length) return undefined;
  const job = unsent[0].job;
  const other = unsent.findIndex((one) => one.job !== job);
  return { job, taps: unsent.slice(0, other === -1 ? PORTION : Math.min(other, PORTION)) };
}

// Milliseconds to wait after so many failures in a row: soon at first, never longer than a quarter of a minute.
export function pause(failures) {
  return failures ? Math.min(1000 * 2 ** (failures - 1), 15000) : 0;
}

// When a page was kept: day and time as this phone writes them.
function keptWords(kept) {
  return new Date(kept).toLocaleString([], { dateStyle: "short", timeStyle: "short" });
}

// What is said about taps that the bench has not acknowledged; empty when there is nothing to say.
export function sendingWords({ unsent, failures, refused, shutOut, unkept, following, kept }) {
  const words = [];
  if (shutOut) words.push("This phone has been shut out at the bench.");
  if (kept) words.push(`Opened without the bench, as it stood on ${keptWords(kept)}.`);
  if (unsent && (failures || shutOut)) words.push(`${unsent} ${unsent === 1 ? "tap" : "taps"} not sent yet, kept on this phone.`);
  else if (following === false) words.push("The bench is out of reach. Go on: taps are kept on this phone.");
  if (refused) words.push(`${refused} ${refused === 1 ? "tap was" : "taps were"} not taken.`);
  if (unkept) words.push("This phone cannot keep taps when the page is closed.");
  return words.join(" ");
}
