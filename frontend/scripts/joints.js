// The page of joints: the entries save themselves, the picture chooses sides, an offer fills in fields.
import "./elements/typed-form.js";

const entry = document.querySelector("typed-form");

// On a narrow page the list stands above what was chosen from it.
if (entry && location.search && entry.getBoundingClientRect().top > innerHeight / 2 && document.activeElement === document.body) entry.scrollIntoView();

entry?.addEventListener("click", (event) => {
  const sets = event.target.closest("[data-sets]")?.dataset.sets;
  if (sets) entry.fill(JSON.parse(sets));
  const side = event.target.closest("[data-side]")?.dataset.side;
  if (side) entry.fill({ side });
});

// A moulding may take another pass: the empty one at the end makes room for the next as soon as it is used.
entry?.addEventListener("input", (event) => {
  const last = event.target.closest("fieldset.next");
  if (!last) return;
  const next = last.cloneNode(true);
  const number = Number(event.target.name.split(".")[1]);
  for (const one of next.querySelectorAll("*")) {
    for (const { name, value } of one.attributes) one.setAttribute(name, value.replaceAll(`pass.${number}.`, `pass.${number + 1}.`));
    if ("value" in one) one.value = "";
  }
  last.classList.remove("next");
  last.querySelector("legend").textContent = `Pass ${number + 1}`;
  last.after(next);
});
