// What the pages share that work with pieces or units: the bench's word, the taps kept on this phone, and their start.
import { newTap, stayAwake } from "./device.js";
import { keepPages } from "./keep-pages.js";
import { keepWord, newestWord } from "./kept-word.js";
import { Outbox } from "./outbox.js";
import { PieceWord } from "./piece-word.js";
import { readySound } from "./signal.js";

export class Station extends HTMLElement {
  // Facts: what the page is about. Word: how the bench last said it stands. `mine` has this page's own taps by id.
  // Kept: when this page was kept, if it opened without the bench. `onWord` hears each word of the bench.
  begin({ facts, word, kept, outbox, onWord }) {
    this.facts = facts;
    this.kept = kept;
    this.outbox = outbox;
    this.onWord = onWord;
    this.following = null;
    this.letGoTo = 0;
    this.mine = new Map();
    this.take(word);
    this.onWord(word);
    this.querySelector("sending-line").follow(outbox, () => ({ following: this.following, kept: this.kept }));
    outbox.addEventListener("change", () => this.update());
  }

  take(word) {
    this.word = word;
  }

  hear(word) {
    if (word.seq >= this.word.seq) {
      this.take(word);
      this.onWord(word);
      this.kept = undefined;
    }
    this.update();
  }

  // The bench's word up to `seq` outlives this page; what it includes need not be kept as taps.
  letGo(seq) {
    this.letGoTo = seq;
    this.outbox.letGo(seq);
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
    this.outbox.letGo(this.letGoTo);
    this.querySelector("sending-line").look();
  }
}

const read = (id) => JSON.parse(document.getElementById(id).textContent);

// `name` is the element that shows it, `standing` the address of the bench's word. Answers the element.
export async function startStation(name, standing) {
  const facts = read("facts");
  const place = standing(facts);
  // Set by the service worker: the time at which a page was kept that now opens without the bench.
  const { kept } = document.documentElement.dataset;
  const word = kept ? await newestWord(place, { ...read("standing"), heard: Date.parse(kept) }) : read("standing");
  const outbox = new Outbox(place);
  const station = document.querySelector(name);
  station.begin({ facts, word, kept, outbox, onWord: (heard) => keepWord(place, heard, (seq) => station.letGo(seq)) });
  station.update();
  outbox.start();
  keepPages(facts.job);
  new PieceWord(facts.job, place, { seq: word.seq, hear: (now) => station.hear(now), reached: (now) => station.reached(now) }).start();
  readySound();
  stayAwake();
  return station;
}
