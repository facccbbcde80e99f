// What the pages share that work with pieces or units: the bench's word, the taps kept on this phone, and their start.
import { newTap, stayAwake } from "./device.js";
import { Outbox } from "./outbox.js";
import { PieceWord } from "./piece-word.js";
import { readySound } from "./signal.js";

export class Station extends HTMLElement {
  // Facts: what the page is about. Word: how the bench last said it stands. `mine` has this page's own taps by id.
  begin({ facts, word, outbox }) {
    Object.assign(this, { facts, outbox, following: null, mine: new Map() });
    this.take(word);
    this.querySelector("sending-line").addEventListener("dismiss", () => outbox.dismiss());
    outbox.addEventListener("change", () => this.update());
  }

  take(word) {
    this.word = word;
  }

  hear(word) {
    if (word.seq >= this.word.seq) this.take(word);
    this.update();
  }

  reached(following) {
    this.following = following;
    if (following) this.outbox.send();
    this.update();
  }

  // Taps that the bench's word does not include yet.
  get taps() {
    return this.outbox.of(this.facts.job).filter((one) => !(one.seq && one.seq <= this.word.seq));
  }

  // Keeps a tap and sends it; answers its id.
  tap(kind, body) {
    const tap = newTap(kind, body);
    this.outbox.add(this.facts.job, tap);
    return tap.id;
  }

  undo(id) {
    this.tap("undo", { event: id });
  }

  update() {
    this.outbox.letGo(this.facts.job, this.word.seq);
    this.querySelector("sending-line").update({ ...this.outbox.standing(), following: this.following }, this.outbox.refused());
  }
}

const read = (id) => JSON.parse(document.getElementById(id).textContent);

// `name` is the element that shows it, `standing` the address of the bench's word. Answers the element.
export function startStation(name, standing) {
  const [facts, word] = [read("facts"), read("standing")];
  const outbox = new Outbox(facts.job);
  const station = document.querySelector(name);
  station.begin({ facts, word, outbox });
  station.update();
  outbox.start();
  new PieceWord(facts.job, standing(facts), { seq: word.seq, hear: (now) => station.hear(now), reached: (now) => station.reached(now) }).start();
  readySound();
  stayAwake();
  return station;
}
