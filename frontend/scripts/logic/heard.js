// The bench's word on all runs, after a message that may tell of some of them only.
/** @template {Word} W @param {Word} word @param {W} message @returns {W} */
export function heardAfter(word, message) {
  const runs = message.all ? message.runs : { ...word.runs, ...message.runs };
  for (const key of message.gone ?? []) delete runs[key];
  return { ...message, runs };
}
