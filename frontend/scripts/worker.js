// Opens the pages of runs without network: styles and scripts, and each job's page as it was loaded last, marked so.
const FILES = "stopwright files";
const PAGES = "stopwright pages";
const JOBS_KEPT = 5;
const PATIENCE = 5000;

addEventListener("install", () => self.skipWaiting());
addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
addEventListener("fetch", (event) => {
  const { method, url, mode } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== location.origin) return;
  const runs = /^\/jobs\/\d+\/runs(?=\/\d+$|$)/.exec(pathname);
  if (runs && mode === "navigate") event.respondWith(page(event, runs[0]));
  else if (/^\/(scripts|styles)\//.test(pathname)) event.respondWith(file(event));
});

// All runs of a job are one page, kept under the address of its list.
async function page(event, place) {
  try {
    const answer = await soon(fetch(event.request));
    if (answer.ok) event.waitUntil(keepPage(place, answer.clone()));
    if (answer.status === 403) await forgetAll();
    return answer;
  } catch {
    return (await keptPage(place)) ?? Response.error();
  }
}

async function keepPage(place, answer) {
  const cache = await caches.open(PAGES);
  const headers = new Headers(answer.headers);
  for (const name of ["content-encoding", "content-length"]) headers.delete(name);
  headers.set("x-kept", new Date().toISOString());
  await cache.delete(place); // to put it behind all others
  await cache.put(place, new Response(await answer.blob(), { headers }));
  const places = await cache.keys();
  for (const old of places.slice(0, -JOBS_KEPT)) await cache.delete(old);
}

async function keptPage(place) {
  const kept = await (await caches.open(PAGES)).match(place);
  if (!kept) return undefined;
  const text = await kept.text();
  return new Response(text.replace("<html ", `<html data-kept="${kept.headers.get("x-kept")}" `), { headers: kept.headers });
}

async function file(event) {
  const cache = await caches.open(FILES);
  try {
    const answer = await soon(fetch(event.request));
    if (answer.ok) event.waitUntil(cache.put(event.request, answer.clone()));
    return answer;
  } catch {
    return (await cache.match(event.request)) ?? Response.error();
  }
}

// A phone that was shut out keeps nothing of the shop.
async function forgetAll() {
  for (const name of await caches.keys()) await caches.delete(name);
}

function soon(answer) {
  return Promise.race([answer, new Promise((_, reject) => setTimeout(() => reject(new Error("too slow")), PATIENCE))]);
}
