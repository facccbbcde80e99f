// Says plainly which taps the bench has not acknowledged; quiet while all are on its disk. What was set aside is named,
// and can be sent again or thrown away.
import { sure } from "../guard.js";
import { asideWords, sendingWords } from "../logic/sending.js";
import { sentence } from "../logic/sentence.js";

const NAMED = 2;

customElements.define(
  "sending-line",
  class extends HTMLElement {
    // Follows an outbox: `more` says what else is to be told, asked whenever something has changed.
    follow(outbox, more = () => ({})) {
      this.outbox = outbox;
      this.more = more;
      outbox.addEventListener("change", () => this.look());
      this.look();
    }

    look() {
      const refused = this.outbox.refused();
      const words = sendingWords({ ...this.outbox.standing(), ...this.more() });
      const aside = refused.slice(0, NAMED).map((one) => asideWords(one).map(sentence).join(" "));
      const said = [words, ...aside].join("\n");
      if (this.said === said) return;
      this.said = said;
      this.hidden = !words;
      this.replaceChildren(line("span", words), ...aside.map((one) => line("small", one)));
      if (refused.some((one) => one.id)) this.append(button("Send again", () => this.outbox.sendAgain()));
      if (refused.length) this.append(button("Throw away", ({ target }) => sure(target, "Lost for good. Tap again") && this.outbox.throwAway()));
    }
  },
);

function line(name, words) {
  const made = document.createElement(name);
  made.textContent = words;
  return made;
}

function button(words, act) {
  const made = document.createElement("button");
  Object.assign(made, { type: "button", textContent: words, onclick: act });
  return made;
}
