// Looks at the list again as soon as something is chosen; without scripts the button does it.
const form = document.querySelector("form[data-look]");
const again = form.querySelector("[data-again]");
const place = `import scroll ${location.pathname}`;

form.addEventListener("change", (event) => {
  const target = /** @type {HTMLInputElement} */ (event.target);
  if (target.name === "name") return;
  sessionStorage.setItem(place, JSON.stringify({ y: scrollY, x: form.querySelector(".frame").scrollLeft, id: target.id }));
  form.requestSubmit(again);
});

const kept = JSON.parse(sessionStorage.getItem(place) ?? "null");
sessionStorage.removeItem(place);
if (kept) {
  form.querySelector(".frame").scrollLeft = kept.x;
  document.getElementById(kept.id)?.focus({ preventScroll: true });
  scrollTo(0, kept.y);
}
