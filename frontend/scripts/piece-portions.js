// The pieces of a job as they come to a page: the first portion with it, the others one after the other. Which portion a
// piece is in follows from its number, so a scan can have its own fetched before the rest.
import { ask } from "./wire.js";

const PATIENCE = 30000;

// `facts` of the page: { job, portions, portion, pieces }; `tell` is called when a portion has come.
export class PiecePortions {
  constructor({ job, portions, portion, pieces }, tell) {
    this.job = job;
    this.portions = portions;
    this.portion = portion;
    this.tell = tell;
    this.all = [];
    this.byIndex = new Map();
    this.come = new Set();
    this.asked = new Map();
    this.take(1, pieces);
  }

  get whole() {
    return this.come.size === this.portions;
  }

  // True when the pieces around this number have not come though they are there.
  lacks(index) {
    const number = this.of(index);
    return number <= this.portions && !this.come.has(number);
  }

  // Fetches the portion of a piece; an answer is on its way once, however often it is asked for.
  fetch(index) {
    return this.load(this.of(index));
  }

  // Fetches what has not come, until the bench is out of reach.
  async fetchAll() {
    for (let number = 1; number <= this.portions; number += 1) {
      if (!this.come.has(number) && !(await this.load(number))) return;
    }
  }

  of(index) {
    return Math.floor(index / this.portion) + 1;
  }

  load(number) {
    if (!this.asked.has(number)) this.asked.set(number, this.asking(number).finally(() => this.asked.delete(number)));
    return this.asked.get(number);
  }

  async asking(number) {
    const answer = await ask(`/jobs/${this.job}/sort/${number}`, PATIENCE);
    if (!answer.ok) return false;
    this.take(number, answer.data.pieces);
    this.tell();
    return true;
  }

  take(number, pieces) {
    this.come.add(number);
    for (const piece of pieces) {
      this.byIndex.set(piece.index, piece);
      this.all.push(piece);
    }
  }
}
