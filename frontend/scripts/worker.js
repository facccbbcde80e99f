// Opens the pages of a job without network: styles and scripts, and each page as it was loaded last, marked so. What is
// asked for in vain and is not kept is answered by a page of ours, never by the browser's own.
const FILES = "stopwright files";
const PAGES = "stopwright pages";
const PICTURES = "stopwright pictures";
const PICTURES_KEPT = 60;
const JOBS_KEPT = 5;
const PATIENCE = 5000;
const FRESH = 15 * 60 * 1000;
const WHOLE = "?whole";
const RUNS = /\/runs$/;
const OUT_OF_REACH = "/out-of-reach";
// Where a page is kept, and its job. All runs of a job are one page, under the address of its list. A page opens with the
// run at hand; kept is the one with the screens of all runs, which comes behind it.
const KEPT = /^\/jobs\/(\d+)\/(?:runs(?=\/\d+$|$)|(?:rack|sort(?:\/\d+)?|pieces|spoiled|glue-up(?:\/\d+\/(?:dry-fit|\d+))?)$)/;
// What comes to the sorting page after it.
const PORTION = /^\/jobs\/\d+\/sort\/\d+$/;

addEventListener("install", (event) => {
  self.skipWaiting();
  event.waitUntil(fetchPage(OUT_OF_REACH, new Set()).catch(() => {}));
});
addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
addEventListener("message", (event) => event.waitUntil(keepJob(event.data.job)));
addEventListener("fetch", (event) => {
  const { method, url, mode } = event.request;
  const { origin, pathname, search } = new URL(url);
  if (origin !== location.origin) return;
  if (mode === "navigate") event.respondWith(method === "GET" ? page(event, KEPT.exec(pathname)?.[0]) : form(event));
  else if (method === "GET" && search === WHOLE && RUNS.test(pathname)) event.respondWith(whole(event, pathname));
  else if (method === "GET" && /^\/(scripts|styles)\//.test(pathname)) event.respondWith(file(event));
  else if (method === "GET" && PORTION.test(pathname)) event.respondWith(page(event, pathname));
  else if (method === "GET" && /^\/jobs\/\d+\/pictures\//.test(pathname)) event.respondWith(picture(event));
});

// `place` is where the page is kept; undefined for one that never is.
async function page(event, place) {
  const kept = place && (await (await caches.open(PAGES)).match(place));
  try {
    const answer = await (kept ? soon(fetch(event.request)) : fetch(event.request));
    if (answer.ok && place && !RUNS.test(place)) event.waitUntil(keepPage(place, answer.clone()));
    if (answer.status === 403) await forgetAll();
    return answer;
  } catch {
    return kept ? marked(kept) : outOfReach();
  }
}

// All runs of a job, as the page that is open asks for them.
async function whole(event, place) {
  const answer = await fetch(event.request);
  if (answer.ok && !answer.redirected) event.waitUntil(keepPage(place, answer.clone()));
  return answer;
}

// Nothing of what a form says has reached the bench; whoever sent it is told so.
async function form(event) {
  try {
    return await fetch(event.request);
  } catch {
    return outOfReach();
  }
}

async function outOfReach() {
  return (await (await caches.open(PAGES)).match(OUT_OF_REACH)) ?? Response.error();
}

// Keeps all pages of a job that are worth keeping, with their styles and scripts, unless they were kept a moment ago.
async function keepJob(job) {
  const answer = await fetch(`/jobs/${job}/pages-to-keep`, { headers: { accept: "application/json" } });
  if (!answer.ok) return;
  const cache = await caches.open(PAGES);
  const files = new Set();
  for (const place of [OUT_OF_REACH, ...(await answer.json()).pages]) {
    const kept = await cache.match(place);
    if (!kept || Date.now() - Date.parse(kept.headers.get("x-kept")) > FRESH) await fetchPage(place, files);
  }
}

// `files` are those that were fetched already; what is fetched for this page comes in besides.
async function fetchPage(place, files) {
  const answer = await fetch(RUNS.test(place) ? place + WHOLE : place, { headers: { accept: "text/html" } });
  if (!answer.ok) return;
  const named = (await answer.clone().text()).matchAll(/(?:href|src)="(\/(?:scripts|styles)\/[^"]+)"/g);
  await keepPage(place, answer);
  for (const [, name] of named) await keepFile(name, files);
}

async function keepPage(place, answer) {
  const cache = await caches.open(PAGES);
  const headers = new Headers(answer.headers);
  for (const name of ["content-encoding", "content-length"]) headers.delete(name);
  headers.set("x-kept", new Date().toISOString());
  await cache.delete(place); // to put it behind all others
  await cache.put(place, new Response(await answer.blob(), { headers }));
  await forgetOldJobs(cache);
}

// The jobs used last stay.
async function forgetOldJobs(cache) {
  const places = (await cache.keys()).map(({ url }) => new URL(url).pathname);
  const jobs = [...new Set(places.reverse().map((place) => KEPT.exec(place)?.[1]).filter(Boolean))];
  const old = jobs.slice(JOBS_KEPT);
  for (const place of places) if (old.includes(KEPT.exec(place)?.[1])) await cache.delete(place);
}

// A style or a script, and all that it imports.
async function keepFile(name, files) {
  if (files.has(name)) return;
  files.add(name);
  const answer = await fetch(name);
  if (!answer.ok) return;
  await (await caches.open(FILES)).put(name, answer.clone());
  if (!name.endsWith(".js")) return;
  const imports = (await answer.text()).matchAll(/^import (?:[^"]* from )?"(\.[^"]+)"/gm);
  for (const [, other] of imports) await keepFile(new URL(other, new URL(name, location.origin)).pathname, files);
}

async function marked(kept) {
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

// A photo of a set-up never changes: what was seen once is kept, the ones seen first go first.
async function picture(event) {
  const cache = await caches.open(PICTURES);
  const kept = await cache.match(event.request);
  if (kept) return kept;
  try {
    const answer = await fetch(event.request);
    if (answer.ok) event.waitUntil(keepPicture(cache, event.request, answer.clone()));
    return answer;
  } catch {
    return Response.error();
  }
}

async function keepPicture(cache, request, answer) {
  await cache.put(request, answer);
  for (const old of (await cache.keys()).slice(0, -PICTURES_KEPT)) await cache.delete(old);
}

// A phone that was removed keeps nothing of the shop.
async function forgetAll() {
  for (const name of await caches.keys()) await caches.delete(name);
}

function soon(answer) {
  return Promise.race([answer, new Promise((_, reject) => setTimeout(() => reject(new Error("too slow")), PATIENCE))]);
}
