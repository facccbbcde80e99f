// Dry fit of a unit: which pieces are here, which joints were tried; a wrong piece is said, felt and heard.
import { dryFitAfter } from "../logic/dry-fit.js";
import { newTap } from "../piece-word.js";
import { signal } from "../signal.js";

class DryFit extends HTMLElement {
  begin({ facts, word, outbox }) {
    Object.assign(this, { facts, word, outbox, following: null, mine: new Map() });
    this.addEventListener("code", ({ detail }) => this.scanned(detail));
    this.addEventListener("click", (event) => this.tick(event.target.closest("[data-joint]")));
    this.querySelector("sending-line").addEventListener("dismiss", () => outbox.dismiss());
    outbox.addEventListener("change", () => this.update());
    this.update();
  }

  hear(word) {
    if (word.seq >= this.word.seq) this.word = word;
    this.update();
  }

  reached(following) {
    this.following = following;
    if (following) this.outbox.send();
    this.update();
  }

  get stands() {
    const taps = this.outbox.of(this.facts.job).filter((one) => !(one.seq && one.seq <= this.word.seq));
    return dryFitAfter(this.word, taps, { unit: this.facts.unit, mine: this.mine });
  }

  scanned(read) {
    const { job, unit, purpose, pieces } = this.facts;
    const piece = pieces.find((one) => one.index === read.index && read.job === job);
    const fault = read.fault ?? (piece ? "" : `This piece does not belong to unit ${unit}.`);
    const again = Boolean(piece) && this.stands.here.has(piece.index);
    this.say(fault || (again ? `${piece.label} was scanned before.` : `${piece.label} ${piece.name} is here.`), Boolean(fault));
    signal(!fault && !again);
    if (piece && !again) this.outbox.add(job, newTap("piece scanned", { piece: piece.index, purpose }));
  }

  tick(button) {
    if (!button) return;
    const { job, unit } = this.facts;
    const { joint } = button.dataset;
    if (!this.stands.dry.has(joint)) {
      const tap = newTap("dry fit ticked", { unit, joint });
      this.mine.set(tap.id, joint);
      this.outbox.add(job, tap);
      return;
    }
    const last = [...this.mine].findLast(([, one]) => one === joint);
    if (last) this.outbox.add(job, newTap("undo", { event: last[0] }));
    else this.say("It was ticked before this page was opened; it stays ticked.", false);
  }

  say(words, care) {
    const box = this.querySelector("[data-say=verdict]");
    box.hidden = !words;
    box.textContent = words;
    box.className = `notice ${care ? "care" : "good"}`;
  }

  update() {
    this.outbox.letGo(this.facts.job, this.word.seq);
    const { here, dry } = this.stands;
    const { pieces, joints } = this.facts;
    for (const item of this.querySelectorAll("[data-piece]")) item.classList.toggle("here", here.has(Number(item.dataset.piece)));
    for (const button of this.querySelectorAll("[data-joint]")) button.ariaPressed = String(dry.has(button.dataset.joint));
    const tried = joints.filter((joint) => dry.has(joint)).length;
    const came = pieces.filter((piece) => here.has(piece.index)).length;
    this.querySelector("[data-say=turn]").textContent = `${tried} of ${joints.length} joints`;
    this.querySelector("[data-say=pieces]").textContent = `${came} of ${pieces.length} here`;
    const ready = tried === joints.length && came === pieces.length;
    const on = this.querySelector("[data-say=on]");
    on.textContent = ready ? "All fits: glue up" : "Glue up";
    on.classList.toggle("go", ready);
    this.querySelector("sending-line").update({ ...this.outbox.standing(), following: this.following }, this.outbox.refused());
  }
}

customElements.define("dry-fit", DryFit);
