// Has the service worker keep the pages of a job on this phone, the one on the screen first: from the first opening on
// they open without network. Only where the browser lets a page be kept, that is over HTTPS and at the bench itself;
// elsewhere the page says what is not there.

export async function keepPages(job) {
  if (!isSecureContext) for (const told of document.querySelectorAll("[data-plain-http]")) told.hidden = false;
  if (!isSecureContext || !navigator.serviceWorker) return;
  try {
    await navigator.serviceWorker.register("/worker.js");
    const { active } = await navigator.serviceWorker.ready;
    active.postMessage({ job });
  } catch {
    // The browser keeps nothing, as in a private window.
  }
}
