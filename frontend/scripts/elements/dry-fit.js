// Dry fit of a unit: which pieces are here, which joints were tried; a wrong piece is said, felt and heard.
import { dryFitAfter } from "../logic/dry-fit.js";
import { signal } from "../signal.js";
import { Station } from "../station.js";

class DryFit extends Station {
  begin(all) {
    super.begin(all);
    this.querySelector("code-entry").pieces = this.facts.pieces;
    this.addEventListener("code", ({ detail }) => this.scanned(detail));
    this.addEventListener("click", (event) => this.tick(event.target.closest("[data-joint]")));
  }

  get stands() {
    return dryFitAfter(this.word, this.taps, { unit: this.facts.unit, mine: this.mine });
  }

  scanned(read) {
    const { job, unit, purpose, pieces } = this.facts;
    const piece = pieces.find((one) => one.index === read.index && read.job === job);
    const fault = read.fault ?? (piece ? "" : `This piece does not belong to unit ${unit}.`);
    const again = Boolean(piece) && this.stands.here.has(piece.index);
    this.say(fault || (again ? `${piece.label} was scanned before.` : `${piece.label} ${piece.name} is here.`), Boolean(fault));
    signal(fault || again ? "refused" : "done");
    if (piece && !again) this.tap("piece scanned", { piece: piece.index, purpose });
  }

  tick(button) {
    if (!button) return;
    const { joint } = button.dataset;
    if (!this.stands.dry.has(joint)) {
      this.mine.set(this.tap("dry fit ticked", { unit: this.facts.unit, joint }), joint);
      return;
    }
    const last = [...this.mine].findLast(([, one]) => one === joint);
    if (last) this.undo(last[0]);
    else this.say("It was ticked before this page was opened; it stays ticked.", false);
  }

  say(words, care) {
    const box = this.querySelector("[data-say=verdict]");
    box.hidden = !words;
    box.textContent = words;
    box.className = `notice ${care ? "care" : "good"}`;
  }

  update() {
    super.update();
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
  }
}

customElements.define("dry-fit", DryFit);
