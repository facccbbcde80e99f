// Takes a shown length apart so that it can be set large; computes nothing. The server's pages do the same.
const SHOWN = /^(?<sign>−?)(?:(?<whole>\d+(?:\.\d+)?)(?: (?=\d))?)??(?:(?<over>\d+)\/(?<under>\d+))?(?: (?<unit>mm|in))?(?: \((?<off>[^)]+)\))?$/u;

export function takeApart(text) {
  const found = SHOWN.exec(text)?.groups;
  if (!found) return { sign: "", whole: text, over: "", under: "", unit: "", off: "" };
  const { sign = "", whole = "", over = "", under = "", unit = "", off = "" } = found;
  return { sign, whole, over, under, unit, off };
}

// Tenths of a digit's width: a fraction's digits are half as wide, a point a third.
export function breadth({ sign, whole, over, under }) {
  const fraction = over ? 5 * Math.max(over.length, under.length) + 2 : 0;
  return [...(sign + whole)].reduce((sum, one) => sum + (".,−".includes(one) ? 4 : 10), 0) + fraction;
}

// The style's class for a breadth: steps of five, at most 120.
export function fits(figure) {
  return `fits-${Math.min(Math.ceil(breadth(figure) / 5) * 5, 120)}`;
}

// What stands beside a large figure when the true length is off its mark, in words that are no number to set: to the
// thousandth, which is finer than anybody reads; "" for less.
export function beside({ off }) {
  const thousandths = Math.floor(Math.abs(Number(off.replace("−", "-"))) * 1000 + 0.5);
  if (!thousandths) return "";
  return `${thousandths / 1000} in ${off.startsWith("−") ? "less" : "more"} than this mark`;
}
