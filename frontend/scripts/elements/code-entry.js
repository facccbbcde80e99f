// Where a code comes in: typed, in a photo, or before the camera. Says "code" with what was read, one at a time.
// Of the `pieces` of its page it takes the large print of a label too.
import { codeIn, labelIn, spaced } from "../logic/piece-code.js";
import { sentence } from "../logic/sentence.js";
import { Scanner, canScan, photoForm } from "../scanner.js";
import { send } from "../wire.js";

const SEEN_AGAIN = 2500;

customElements.define(
  "code-entry",
  class extends HTMLElement {
    connectedCallback() {
      this.input = this.querySelector("input[name=code]");
      this.querySelector("form").addEventListener("submit", (event) => {
        event.preventDefault();
        this.take(this.input.value);
      });
      this.input.addEventListener("input", () => codeIn(this.input.value).code && this.take(this.input.value));
      this.querySelector("input[type=file]").addEventListener("change", (event) => this.readPhoto(event.target));
      this.lastSeen = { text: "", at: 0 };
      this.scanner = new Scanner(this.querySelector("video"), (texts) => this.saw(texts));
      const live = this.querySelector("[data-do=live]");
      live.hidden = !canScan();
      live.addEventListener("click", () => this.live(live));
      addEventListener("pagehide", () => this.scanner.stop());
    }

    pieces = [];

    take(text) {
      const read = this.meant(text);
      if (read.short === 7) return;
      if (read.short) {
        this.say(`${read.short} more ${read.short === 1 ? "character is" : "characters are"} wanted.`);
        return;
      }
      if (read.code) this.input.value = "";
      else this.input.select();
      this.say("");
      this.tell(read);
    }

    meant(text) {
      const read = codeIn(text);
      const label = read.code ? "" : labelIn(text);
      const piece = label && this.pieces.find((one) => one.label.toUpperCase() === label);
      return piece ? codeIn(piece.code) : read;
    }

    tell(read) {
      this.choose([]);
      this.dispatchEvent(new CustomEvent("code", { detail: read, bubbles: true }));
    }

    async readPhoto(input) {
      const [file] = input.files;
      input.value = ""; // at once, so that the same photo can be chosen again
      if (!file) return;
      this.say("The bench reads the photo …");
      const answer = await send("/scan", await photoForm(file));
      if (answer.ok) {
        this.say("");
        this.several(answer.data.found);
      } else if (answer.status) this.tell({ fault: `${sentence(answer.data?.error?.what ?? "the photo was not read")} ${sentence(answer.data?.error?.next_step ?? "")}` });
      else this.say("The bench is out of reach, so the photo cannot be read. Type the code.");
      if (answer.status) this.say("");
    }

    // One label is taken at once; of several somebody chooses, and the others stay to be chosen from.
    several(found) {
      if (found.length === 1) this.tell(codeIn(found[0].code));
      else this.choose(found);
    }

    choose(found) {
      const box = this.querySelector("[data-say=choices]");
      box.hidden = !found.length;
      box.replaceChildren(...(found.length ? [paragraph(`${found.length} labels are in this photo. Which one?`)] : []));
      for (const one of found) {
        const button = document.createElement("button");
        button.type = "button";
        button.dataset.code = one.code;
        button.textContent = `${one.label || spaced(one.code)} ${one.name}`;
        button.onclick = () => {
          this.tell(codeIn(one.code));
          this.choose(found.filter((other) => other !== one));
        };
        box.append(button);
      }
    }

    async live(button) {
      const video = this.querySelector("video");
      if (this.scanner.running) this.scanner.stop();
      else {
        try {
          await this.scanner.start();
        } catch {
          this.scanner.stop();
          this.say("This page may not use the camera. Take a photo, or type the code.");
        }
      }
      video.hidden = !this.scanner.running;
      button.textContent = this.scanner.running ? "Camera off" : "Scan with the camera";
    }

    // The same label before the camera is one scan, however many frames show it.
    saw(texts) {
      const reads = texts.map(codeIn).filter((read) => read.code);
      const one = reads.find((read) => read.code !== this.lastSeen.text) ?? reads[0];
      if (!one) return;
      const now = Date.now();
      const again = one.code === this.lastSeen.text && now - this.lastSeen.at < SEEN_AGAIN;
      this.lastSeen = { text: one.code, at: now };
      if (!again) this.tell(one);
    }

    say(words) {
      const box = this.querySelector("[data-say=entry]");
      box.textContent = words;
      box.hidden = !words;
    }
  },
);

function paragraph(words) {
  const made = document.createElement("p");
  made.textContent = words;
  return made;
}
