// A word or two that this phone remembers by a name; where the browser keeps nothing they hold until the page is closed.

export function read(place) {
  try {
    return localStorage.getItem(place) ?? "";
  } catch {
    return "";
  }
}

// An empty word is forgotten.
export function keep(place, word) {
  try {
    if (word) localStorage.setItem(place, word);
    else localStorage.removeItem(place);
  } catch {
    // It holds until the page is closed.
  }
}
