// Codes of pieces as a person types them or a camera reads them: the check character is looked at on the phone itself.

/** @typedef {{ code: string, job: string, index: number, fault?: undefined, short?: undefined }} Read */
/** @typedef {{ fault?: string, short?: number, code?: undefined, job?: undefined, index?: undefined }} Unread  what is wrong, or how many characters are wanting */
/** @typedef {Read | Unread} Code */

const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/** @type {Record<string, string>} */
const READ_AS = { O: "0", I: "1", L: "1" };
const LENGTH = 7;
const PIECES = 2 ** 17;

// { code, job, index } of a code or of the address on a label, or { fault } in words, or { short } while it is too short.
/** @param {string} text @returns {Code} */
export function codeIn(text) {
  const address = /\/P\/([^/?#]+)\/?$/i.exec(text.trim());
  const signs = [...(address ? address[1] : text).toUpperCase()].filter((sign) => !/[\s–-]/.test(sign)).map((sign) => READ_AS[sign] ?? sign);
  const strange = signs.find((sign) => !ALPHABET.includes(sign));
  if (strange) return { fault: `“${strange}” is in no code. Read it again from the label.` };
  const code = signs.join("");
  if (signs.length < LENGTH) return { short: LENGTH - signs.length };
  if (signs.length > LENGTH) return { fault: `A code has ${LENGTH} characters, this has ${signs.length}. Read it again from the label.` };
  const digits = signs.map((sign) => ALPHABET.indexOf(sign));
  if (checkOf(digits.slice(0, -1)) !== digits.at(-1)) {
    return { fault: `${spaced(code)} cannot be right: a character is wrong, or two have changed places.` };
  }
  const value = digits.slice(0, -1).reduce((sum, digit) => sum * 32 + digit, 0);
  return { code, job: String(Math.floor(value / PIECES)), index: value % PIECES };
}

// The mark and number printed large on a label, however they were typed: “A-06” for a06, A 6 or a–06; "" for anything else.
/** @param {string} text */
export function labelIn(text) {
  const found = /^(.*\D)[\s–-]*0*(\d{1,6})$/.exec(text.trim().toUpperCase()) ?? /^(.+?)[\s–-]+0*(\d{1,6})$/.exec(text.trim().toUpperCase());
  if (!found) return "";
  const mark = found[1].replace(/[\s–-]+$/, "");
  return mark ? `${mark}-${found[2].padStart(2, "0")}` : "";
}

/** @type {(code: string) => string} */
export const spaced = (code) => `${code.slice(0, 3)}-${code.slice(3)}`;

// The sum of x^i · digit over the field of 32 elements (x⁵ = x² + 1), i = 1 at the rightmost; by Horner's rule.
/** @param {number[]} digits */
function checkOf(digits) {
  return digits.reduce((sum, digit) => {
    const doubled = (sum ^ digit) << 1;
    return doubled & 32 ? doubled ^ 0b100101 : doubled;
  }, 0);
}
