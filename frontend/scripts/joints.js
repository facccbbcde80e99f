// The page of joints: the entries save themselves, the picture chooses sides, an offer fills in fields.
import "./elements/typed-form.js";
import { anotherAtTheEnd } from "./another.js";

const entry = document.querySelector("typed-form");

// On a narrow page the list stands above what was chosen from it.
if (entry && location.search && entry.getBoundingClientRect().top > innerHeight / 2 && document.activeElement === document.body) entry.scrollIntoView();

entry?.addEventListener("click", (event) => {
  const sets = event.target.closest("[data-sets]")?.dataset.sets;
  if (sets) entry.fill(JSON.parse(sets));
  const side = event.target.closest("[data-side]")?.dataset.side;
  if (side) entry.fill({ side });
});

// A moulding may take another pass.
anotherAtTheEnd(entry, "pass", (number) => `Pass ${number}`);
