// What to buy follows the wood as it is saved: the bench draws it anew.
import { ask } from "./wire.js";

const outlook = document.querySelector("[data-outlook]");

document.addEventListener("saved", async () => {
  const answer = await ask(`${location.pathname}/outlook`);
  if (!answer.ok || outlook.contains(document.activeElement)) return;
  outlook.innerHTML = answer.data.html; // made by the bench from its own template, every name escaped
});
