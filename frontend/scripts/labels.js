// Says how many labels are made, and asks for their PDF when all are.
import { ask } from "./wire.js";

const LOOK = 700;

look(document.querySelector("[data-making]"));

async function look(box) {
  const { ok, status, data } = await ask(box.dataset.making);
  if (ok && !data.running) {
    box.querySelector("form").requestSubmit();
    return;
  }
  if (ok) {
    box.querySelector("progress").value = data.at;
    box.querySelector("[data-say=made]").textContent = `${data.at} of ${data.of} are made`;
  } else if (!status) box.querySelector("[data-say=made]").textContent = "The bench is out of reach; it is asked again";
  setTimeout(() => look(box), LOOK);
}
