// Takes a shown length apart so that it can be set large; computes nothing. The server's pages do the same.

/** @typedef {{ sign: string, whole: string, over: string, under: string, unit: string, off: string }} Figure  a length as it is drawn; "" for what it has not */

const SHOWN = /^(?<sign>−?)(?:(?<whole>\d+(?:\.\d+)?)(?: (?=\d))?)??(?:(?<over>\d+)\/(?<under>\d+))?(?: (?<unit>mm|in))?(?: \((?<off>[^)]+)\))?$/u;

/** @param {string} text */
export function takeApart(text) {
  const found = SHOWN.exec(text)?.groups;
  if (!found) return { sign: "", whole: text, over: "", under: "", unit: "", off: "" };
  const { sign = "", whole = "", over = "", under = "", unit = "", off = "" } = found;
  return { sign, whole, over, under, unit, off };
}

// Tenths of a digit's width: a fraction's digits are half as wide, a point a third.
/** @param {Pick<Figure, "sign" | "whole" | "over" | "under">} figure */
export function breadth({ sign, whole, over, under }) {
  const fraction = over ? 5 * Math.max(over.length, under.length) + 2 : 0;
  return [...(sign + whole)].reduce((sum, one) => sum + (".,−".includes(one) ? 4 : 10), 0) + fraction;
}

// The style's class for a breadth: steps of five, at most 120.
/** @param {Pick<Figure, "sign" | "whole" | "over" | "under">} figure */
export function fits(figure) {
  return `fits-${Math.min(Math.ceil(breadth(figure) / 5) * 5, 120)}`;
}

// What stands beside a large figure when the true length is off its mark, in words that are no number to set: to the
// thousandth, which is finer than anybody reads; "" for less.
/** @param {Pick<Figure, "off">} figure */
export function beside({ off }) {
  const thousandths = Math.floor(Math.abs(Number(off.replace("−", "-"))) * 1000 + 0.5);
  if (!thousandths) return "";
  return `${thousandths / 1000} in ${off.startsWith("−") ? "less" : "more"} than this mark`;
}
