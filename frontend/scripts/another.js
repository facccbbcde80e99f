// A list of like entries in a form: the empty one at its end makes room for the next as soon as it is used.
/** @param {HTMLElement | null} form @param {string} list @param {(number: number) => string} [heading] */
export function anotherAtTheEnd(form, list, heading = () => "") {
  form?.addEventListener("input", (event) => {
    const last = event.target.closest("fieldset.next");
    if (!last) return;
    const next = /** @type {HTMLElement} */ (last.cloneNode(true));
    const number = Number(/** @type {HTMLInputElement} */ (event.target).name.split(".")[1]);
    for (const one of next.querySelectorAll("*")) {
      for (const { name, value } of one.attributes) one.setAttribute(name, value.replaceAll(`${list}.${number}.`, `${list}.${number + 1}.`));
      if ("value" in one) one.value = "";
    }
    last.classList.remove("next");
    const legend = last.querySelector("legend");
    if (legend) legend.textContent = heading(number + 1);
    last.after(next);
  });
}
