// Words as people read them: a sentence of its own, and labels that stay on one line.

// The words with a capital letter first and a full stop at the end; nothing for no words.
/** @type {(words: string) => string} */
export const sentence = (words) => (words ? `${words[0].toUpperCase()}${words.slice(1)}${/[.!?]$/.test(words) ? "" : "."}` : "");

// A label such as A-01 stays on one line.
/** @type {(words: string) => string} */
export const unbroken = (words) => words.replaceAll("-", "\u2011");
