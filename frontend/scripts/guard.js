// A second tap for what one tap cannot take back: the first asks, the second within a few seconds does it. What is
// asked is another screen (the document hears "asking"), so that a bounce is no answer.
const SECONDS = 5;
let asking = null;

// True when the button was tapped a second time; else it shows `words` and waits.
export function sure(button, words) {
  if (asking?.button === button) {
    endAsking();
    return true;
  }
  endAsking();
  asking = { button, words, was: [...button.childNodes], timer: setTimeout(endAsking, SECONDS * 1000) };
  button.classList.add("asks");
  button.replaceChildren(words);
  tell();
  return false;
}

export function endAsking() {
  if (!asking) return;
  clearTimeout(asking.timer);
  asking.button.classList.remove("asks");
  asking.button.replaceChildren(...asking.was);
  asking = null;
  tell();
}

const tell = () => document.dispatchEvent(new Event("asking"));

export const isAsking = (button) => asking?.button === button;

// What is asked now, "" for nothing.
export const asked = () => asking?.words ?? "";
