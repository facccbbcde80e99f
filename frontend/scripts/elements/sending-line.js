// Says plainly which taps the bench has not acknowledged; quiet while all are on its disk.
import { sendingWords } from "../logic/sending.js";

customElements.define(
  "sending-line",
  class extends HTMLElement {
    update(standing, refused) {
      const words = sendingWords(standing);
      if (this.said === words + refused.length) return;
      this.said = words + refused.length;
      this.hidden = !words;
      this.replaceChildren(words);
      for (const { refused: error } of refused.slice(0, 3)) this.append(` ${error.what}; ${error.next_step}.`);
      if (!refused.length) return;
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = "Seen";
      button.onclick = () => this.dispatchEvent(new CustomEvent("dismiss"));
      this.append(button);
    }
  },
);
