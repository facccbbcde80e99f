// A page is touched only where it changes: writing what stands there already would be laid out anew, and told to whoever
// watches it.

/** @param {Element} one @param {string} words */
export function write(one, words) {
  if (one.textContent !== words) one.textContent = words;
}

/** @param {HTMLElement} box @param {boolean} hidden */
export function hide(box, hidden) {
  if (box.hidden !== hidden) box.hidden = hidden;
}
