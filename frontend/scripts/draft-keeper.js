// Brings a draft to the bench as one goes: checked while typing, saved after, kept in this browser until it is.
import { pause } from "./logic/sending.js";
import { worthKeeping } from "./logic/draft.js";
import { ask, leave, post } from "./wire.js";

const CHECK_AFTER = 180;
const SAVE_AFTER = 350;
const LOOK_EVERY = 15000;

// `told` hears every answer with the draft it is to and the keys of its rows, `state` how saving stands, `elsewhere` that a newer version is there.
export class DraftKeeper {
  #address; #job; #base; #told; #state; #elsewhere;
  #draft; #id = ""; #saveTimer = 0; #checkTimer = 0; #turn = 0;
  #standing = { unsaved: false, sending: false, failures: 0, conflict: false, refused: "" };

  constructor({ address, job, version }, { told, state, elsewhere }) {
    [this.#address, this.#job, this.#base] = [address, job, version];
    [this.#told, this.#state, this.#elsewhere] = [told, state, elsewhere];
    addEventListener("pagehide", () => this.#leave());
    addEventListener("focus", () => this.#look());
    setInterval(() => document.visibilityState === "visible" && this.#look(), LOOK_EVERY);
  }

  get standing() { return this.#standing; }

  // What an earlier page could not bring to the bench, if it is of use still.
  kept(now) {
    try {
      const kept = JSON.parse(localStorage.getItem(this.#place()) ?? "null");
      if (!worthKeeping(kept, now)) return this.#forget();
      this.#base = kept.base;
      return kept.draft;
    } catch {
      return undefined;
    }
  }

  // The draft while a cell is still being typed: it is only looked at.
  typing(draft, keys) {
    clearTimeout(this.#checkTimer);
    this.#checkTimer = setTimeout(async () => {
      const turn = ++this.#turn;
      const answer = await post(`${this.#address}/check`, draft);
      if (answer.ok && turn === this.#turn) this.#told(answer.data, keys, draft);
    }, CHECK_AFTER);
  }

  // The draft as it is to be kept.
  changed(draft, keys) {
    clearTimeout(this.#checkTimer);
    this.#draft = { draft, keys };
    this.#id = crypto.randomUUID?.() ?? String(Math.random()).slice(2).padEnd(16, "0");
    this.#keep();
    this.#say({ unsaved: true, refused: "" });
    this.#later(SAVE_AFTER);
  }

  // Goes on from another version: after looking at what somebody else saved.
  goOnFrom(version) {
    this.#base = version;
    this.#say({ conflict: false });
    if (this.#standing.unsaved) this.#later(0);
  }

  dropped(version) {
    clearTimeout(this.#saveTimer);
    this.#draft = undefined;
    this.#base = version;
    this.#forget();
    this.#say({ unsaved: false, conflict: false, refused: "", failures: 0 });
  }

  #later(wait) {
    clearTimeout(this.#saveTimer);
    this.#saveTimer = setTimeout(() => this.#save(), wait);
  }

  async #save() {
    if (this.#standing.sending || this.#standing.conflict || !this.#draft) return;
    const [{ draft, keys }, id] = [this.#draft, this.#id];
    const turn = ++this.#turn;
    this.#say({ sending: true });
    const answer = await post(`${this.#address}/save`, { ...draft, base: this.#base, id });
    this.#say({ sending: false });
    if (answer.ok) return this.#saved(answer.data, keys, draft, id, turn);
    if (answer.status === 409) return this.#say({ conflict: true, failures: 0 });
    if (answer.status && answer.status < 500) {
      const error = answer.data?.error;
      return this.#say({ refused: error ? [error.what, error.next_step].filter(Boolean).join("; ") : "the bench does not take it", failures: 0 });
    }
    const failures = this.#standing.failures + 1;
    this.#say({ failures });
    this.#later(pause(failures));
  }

  #saved(answer, keys, draft, id, turn) {
    this.#base = answer.version;
    if (turn === this.#turn) this.#told(answer, keys, draft);
    if (id !== this.#id) {
      this.#keep();
      return this.#later(0);
    }
    this.#draft = undefined;
    this.#forget();
    this.#say({ unsaved: false, failures: 0 });
  }

  async #look() {
    if (this.#standing.unsaved || this.#standing.conflict) return;
    const answer = await ask(`/jobs/${this.#job}/version`);
    if (answer.ok && answer.data.version > this.#base && !this.#standing.unsaved) this.#elsewhere(answer.data.version);
  }

  #leave() {
    if (this.#draft && !this.#standing.conflict) leave(`${this.#address}/save`, { ...this.#draft.draft, base: this.#base, id: this.#id });
  }

  #place() { return `draft ${this.#address}`; }

  #keep() {
    try {
      localStorage.setItem(this.#place(), JSON.stringify({ base: this.#base, draft: this.#draft.draft }));
    } catch {
      // a browser that keeps nothing: what is typed still stands on the page
    }
  }

  #forget() {
    try {
      localStorage.removeItem(this.#place());
    } catch {
      // as above
    }
  }

  #say(news) {
    this.#standing = { ...this.#standing, ...news };
    this.#state(this.#standing);
  }
}
