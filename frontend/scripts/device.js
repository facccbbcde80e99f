// What this device alone can give: ids nobody else makes, its clock, a screen that stays awake.
import { tap } from "./logic/tap.js";

const random = (bytes) => crypto.getRandomValues(new Uint8Array(bytes));

export const newTap = (kind, body, shares) => tap(kind, body, { bytes: random(16), now: Date.now(), shares });

// By this an open page is told from others.
export const pageId = () => Array.from(random(8), (byte) => byte.toString(16).padStart(2, "0")).join("");

export async function stayAwake() {
  const ask = async () => {
    try {
      if (document.visibilityState === "visible") await navigator.wakeLock?.request("screen");
    } catch {
      // Over plain HTTP, or with a low battery, the phone does not allow it.
    }
  };
  document.addEventListener("visibilitychange", ask);
  await ask();
}
