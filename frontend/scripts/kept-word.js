// The bench's last word on each job and unit, kept for a page that is opened without network. Only where the browser
// lets a page be opened so, that is over HTTPS and at the bench itself; elsewhere all of this does nothing.
import { ask } from "./wire.js";

const WORDS = "stopwright words";
const WORDS_KEPT = 60;
let timer = 0;

// The address of the bench's word on the runs of a job.
export const runsWord = (job) => `/jobs/${job}/standing`;

// Keeps the word from `place` a moment later, of many in a row only the last, and calls `done` with its seq: from then
// on a page opened without network knows what the word says, and taps that it includes may go.
export function keepWord(place, word, done) {
  if (!globalThis.caches) {
    done(word.seq);
    return;
  }
  const heard = { ...word, heard: Date.now() };
  clearTimeout(timer);
  timer = setTimeout(async () => {
    try {
      await put(place, heard);
    } finally {
      done(word.seq);
    }
  }, 500);
}

// Asks the bench anew for a word that is kept here; one that is not kept needs no renewing.
export async function renewWord(place) {
  try {
    if (!(await (await caches.open(WORDS)).match(place))) return;
    const answer = await ask(place);
    if (answer.ok) await put(place, { ...answer.data, heard: Date.now() });
  } catch {
    // Nothing is kept in this browser.
  }
}

// The newer of the word that came with the page and the one kept; `heard` says when, by this phone's clock.
export async function newestWord(place, word) {
  try {
    const found = await (await caches.open(WORDS)).match(place);
    const kept = found && (await found.json());
    return kept && kept.seq > word.seq ? kept : word;
  } catch {
    return word;
  }
}

async function put(place, word) {
  const cache = await caches.open(WORDS);
  await cache.delete(place); // to put it behind all others
  await cache.put(place, Response.json(word));
  const places = await cache.keys();
  for (const old of places.slice(0, -WORDS_KEPT)) await cache.delete(old);
}
