// Says plainly which taps the bench has not acknowledged; quiet while all are on its disk.
import { sendingWords } from "../logic/sending.js";
import { sentence } from "../logic/sentence.js";

customElements.define(
  "sending-line",
  class extends HTMLElement {
    update(standing, refused) {
      const words = sendingWords(standing);
      if (this.said === words + refused.length) return;
      this.said = words + refused.length;
      this.hidden = !words;
      const said = document.createElement("span");
      said.textContent = [words, ...refused.slice(0, 3).flatMap(({ refused: error }) => [sentence(error.what), sentence(error.next_step)])].join(" ");
      this.replaceChildren(said);
      if (!refused.length) return;
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = "Seen";
      button.onclick = () => this.dispatchEvent(new CustomEvent("dismiss"));
      this.append(button);
    }
  },
);
