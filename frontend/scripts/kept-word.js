// The bench's last word on each job, kept for a page that is opened without network. Only where the browser lets a
// page be opened so, that is over HTTPS and at the bench itself; elsewhere all of this does nothing.
const WORDS = "stopwright words";
const JOBS_KEPT = 5;
const place = (job) => `/jobs/${job}/standing`;
let timer = 0;

// Keeps the word a moment later, of many in a row only the last, and calls `done` with its seq: from then on a page
// opened without network knows what the word says, and taps that it includes may go.
export function keepWord(job, word, done) {
  if (!globalThis.caches) {
    done(word.seq);
    return;
  }
  clearTimeout(timer);
  timer = setTimeout(async () => {
    try {
      const cache = await caches.open(WORDS);
      await cache.delete(place(job));
      await cache.put(place(job), Response.json(word));
      const places = await cache.keys();
      for (const old of places.slice(0, -JOBS_KEPT)) await cache.delete(old);
    } finally {
      done(word.seq);
    }
  }, 500);
}

// The newer of the word that came with the page and the one kept; nobody is known to be at a run any more.
export async function newestWord(job, word) {
  try {
    const found = await (await caches.open(WORDS)).match(place(job));
    const kept = found && (await found.json());
    return kept && kept.seq > word.seq ? { ...kept, here: [] } : word;
  } catch {
    return word;
  }
}
