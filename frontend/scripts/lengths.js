// Shows every length on the page in the way chosen; the texts come from the server.
import { beside, fits, takeApart } from "./logic/figure.js";

let way = 0;

export function showLengths(root, chosen = way) {
  way = chosen;
  for (const one of root.querySelectorAll("[data-texts]")) fill(one);
}

export function setTexts(element, texts) {
  const joined = texts.join("\n");
  if (element.dataset.texts === joined) return;
  element.dataset.texts = joined;
  fill(element);
}

// A length for a sentence, as an element that follows the way chosen.
export function length(texts) {
  const made = document.createElement("span");
  made.className = "length";
  setTexts(made, texts);
  return made;
}

function fill(element) {
  const text = element.dataset.texts.split("\n")[way];
  if (!element.classList.contains("figure")) {
    element.textContent = text;
    return;
  }
  const figure = takeApart(text);
  const digits = part("digits", fits(figure));
  if (figure.sign + figure.whole) digits.append(part("whole", "", figure.sign + figure.whole));
  if (figure.over) {
    const fraction = part("fraction");
    fraction.append(part("", "", figure.over), part("", "", figure.under));
    digits.append(fraction);
  }
  const seen = part("seen");
  seen.ariaHidden = "true";
  seen.append(digits);
  if (figure.unit) seen.append(part("unit", "", figure.unit));
  const words = beside(figure);
  if (words) seen.append(part("off", "", words));
  element.replaceChildren(part("heard", "", text), seen);
}

function part(name, more = "", text = "") {
  const made = document.createElement("span");
  made.className = `${name} ${more}`.trim();
  made.textContent = text;
  return made;
}
