// What is cut already by a run sheet that is no more, in a sentence: words, and lengths as their texts (lists).
const MOST = 3;

/**
 * @param {{ pieces: string, station: string, stops: { axis: string, texts: Texts }[] }[]} lines
 * @returns {(string | Texts)[]}
 */
export function cutBefore(lines) {
  if (!lines.length) return ["What is cut so far belongs to the new one too."];
  const said = lines.slice(0, MOST).flatMap(({ pieces, station, stops }, place) => [
    place ? "; " : "Cut by the old one: ",
    `${pieces} at the ${station}`,
    ...stops.flatMap(({ axis, texts }) => [`, ${axis} `, texts]),
  ]);
  const more = lines.length - MOST;
  return [...said, more > 0 ? `; and ${more} more ${more === 1 ? "run" : "runs"}` : "", ". See whether they still fit before you go on."];
}
