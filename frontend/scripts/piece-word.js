// Keeps a page of pieces in line with the bench: when the live line says there is news, its standing is asked for.
import { pageId } from "./device.js";
import { Follower } from "./follower.js";
import { ask } from "./wire.js";

// `hear` gets the standing at `address` whenever it may have changed, `reached` whether the bench is in reach.
export class PieceWord {
  constructor(job, address, { seq, hear, reached }) {
    this.job = job;
    this.address = address;
    this.told = hear;
    this.reached = reached;
    this.word = { seq };
    this.page = pageId();
    this.busy = false;
    this.again = false;
    this.follower = new Follower(job, this);
  }

  start() {
    this.follower.at(0);
  }

  // Called by the follower with the live line's word.
  async hear(word) {
    if (word.seq <= this.word.seq && this.asked) return;
    this.word = { seq: Math.max(word.seq, this.word.seq) };
    this.asked = true;
    if (this.busy) {
      this.again = true;
      return;
    }
    this.busy = true;
    do {
      this.again = false;
      const answer = await ask(this.address);
      if (answer.ok) this.told(answer.data);
    } while (this.again);
    this.busy = false;
  }
}
