// The only door to the bench: ask, post, follow. Nothing else in the browser talks to the network.
const PATIENCE = 10000;

// Answers { ok, status, data }; ok is false and status 0 when the bench is out of reach.
async function speak(address, options, patience = PATIENCE) {
  try {
    const answer = await fetch(address, { ...options, signal: AbortSignal.timeout(patience), headers: { accept: "application/json", ...options.headers } });
    const data = await answer.json().catch(() => null);
    return { ok: answer.ok && data !== null, status: answer.status, data };
  } catch {
    return { ok: false, status: 0, data: null };
  }
}

export const ask = (address, patience) => speak(address, { method: "GET", cache: "no-store" }, patience);

// A page as text; undefined when the bench is out of reach or does not answer with it.
export async function askPage(address) {
  try {
    const answer = await fetch(address, { cache: "no-store", signal: AbortSignal.timeout(PATIENCE), headers: { accept: "text/html" } });
    return answer.ok ? await answer.text() : undefined;
  } catch {
    return undefined;
  }
}

export const post = (address, body) =>
  speak(address, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) });

// Sends a form, a photo in it for one; the browser writes its own content type.
export const send = (address, form) => speak(address, { method: "POST", body: form });

// Follows a live address; `heard` gets each message, `reached` true or false as the line stands. Returns how to end it.
export function follow(address, { heard, reached }) {
  const line = new EventSource(address);
  line.onopen = () => reached(true);
  line.onerror = () => reached(false);
  let here = []; // who has which run open comes only when it has changed
  line.onmessage = (message) => {
    const word = JSON.parse(message.data);
    here = word.here ?? here;
    heard({ ...word, here });
  };
  return () => line.close();
}

// Sends a last word while the page goes away; whether it arrived is not heard.
export const leave = (address, body) => navigator.sendBeacon(address, new Blob([JSON.stringify(body)], { type: "application/json" }));
