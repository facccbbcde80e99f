// On every page: what waits on this phone is sent, what is not sent or was set aside is said, a page that opened without
// the bench says so, and a tap on a link or a form out of reach stays on the page. Pages with an outbox of their own do
// the first three themselves.
import { allKept } from "./kept.js";
import { ask } from "./wire.js";

const SOON = 4000;
const { kept } = document.documentElement.dataset;

if (!document.querySelector("sending-line") && (kept || allKept().length)) await followWaiting();
if (!document.body.classList.contains("bench")) for (const name of ["click", "submit"]) addEventListener(name, stayOutOfReach);

async function followWaiting() {
  const [{ Outbox }] = await Promise.all([import("./outbox.js"), import("./elements/sending-line.js")]);
  const outbox = new Outbox("");
  lineAtFoot().follow(outbox, () => ({ kept }));
  outbox.start();
}

function lineAtFoot() {
  const line = document.createElement("sending-line");
  line.className = "at-foot";
  line.role = "status";
  document.body.append(line);
  return line;
}

// Where no service worker answers for the bench, the way is tried first: the browser's own error page would throw away
// what stands here.
async function stayOutOfReach(event) {
  const go = event.type === "submit" ? formWay(event) : linkWay(event);
  if (!go || navigator.serviceWorker?.controller) return;
  event.preventDefault();
  if ((await ask("/reach", SOON)).ok) go();
  else say("The bench is out of reach; this page stays open. Try again when it is back.");
}

function linkWay(event) {
  const link = event.target.closest?.("a[href]");
  const { defaultPrevented, button, metaKey, ctrlKey, shiftKey } = event;
  if (!link || defaultPrevented || button || metaKey || ctrlKey || shiftKey || link.target || link.origin !== location.origin) return undefined;
  return link.hash && link.pathname === location.pathname ? undefined : () => location.assign(link.href);
}

let passing = null;

// A form that was tried goes on by itself, with the button that sent it.
function formWay({ target: form, submitter, defaultPrevented }) {
  if (defaultPrevented || form.method === "dialog" || passing === form) return undefined;
  return () => {
    passing = form;
    form.requestSubmit(submitter);
    passing = null;
  };
}

function say(words) {
  let line = document.querySelector(".out-of-reach");
  if (!line) {
    line = document.createElement("p");
    line.className = "at-foot out-of-reach";
    line.role = "alert";
    document.body.append(line);
  }
  line.textContent = words;
}
