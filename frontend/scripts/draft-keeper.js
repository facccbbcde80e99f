// Brings a draft to the bench as one goes: checked while typing, saved after, kept in this browser until it is.
import { pause } from "./logic/sending.js";
import { worthKeeping } from "./logic/draft.js";
import { ask, leave, post } from "./wire.js";

const CHECK_AFTER = 180;
const SAVE_AFTER = 350;
const LOOK_EVERY = 15000;
const fresh = () => crypto.randomUUID?.() ?? `${Date.now()}-${Math.random().toString(36).slice(2)}`;

// `told` hears every answer with the draft it is to and the keys of its rows, `rewritten` the rows that the bench wrote anew,
// `state` how saving stands, `elsewhere` that a newer version is there.
export class DraftKeeper {
  #address; #job; #base; #told; #rewritten; #state; #elsewhere;
  #draft; #id = ""; #window = ""; #saveTimer = 0; #checkTimer = 0; #turn = 0;
  #standing = { unsaved: false, sending: false, failures: 0, conflict: false, refused: "" };

  constructor({ address, job, version }, { told, rewritten, state, elsewhere }) {
    [this.#address, this.#job, this.#base] = [address, job, version];
    [this.#told, this.#rewritten, this.#state, this.#elsewhere] = [told, rewritten, state, elsewhere];
    addEventListener("pagehide", () => this.#leave());
    addEventListener("focus", () => this.#look());
    setInterval(() => document.visibilityState === "visible" && this.#look(), LOOK_EVERY);
  }

  // What this window, or one that is gone, could not bring to the bench, if it is of use still.
  async kept(now) {
    try {
      this.#window = await windowName();
      for (const place of await this.#abandoned()) {
        const kept = JSON.parse(localStorage.getItem(place));
        localStorage.removeItem(place);
        if (!worthKeeping(kept, now)) continue;
        this.#base = kept.base;
        return kept.draft;
      }
    } catch {
      // a browser that keeps nothing
    }
    return undefined;
  }

  // Drafts of this list whose window is not open: its own from before it was loaded again comes first.
  async #abandoned() {
    const open = new Set((await navigator.locks?.query())?.held.map((lock) => lock.name));
    const others = Object.keys(localStorage).filter((place) => place.startsWith(`draft ${this.#address} `) && place !== this.#place());
    const gone = navigator.locks ? others.filter((place) => !open.has(lockOf(place.split(" ")[2]))) : [];
    return [this.#place(), ...gone].filter((place) => localStorage.getItem(place));
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
    this.#id = fresh();
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
      return this.#say({ refused: error ? [error.what, error.next_step].filter(Boolean).join("; ") : "the bench does not accept it", failures: 0 });
    }
    const failures = this.#standing.failures + 1;
    this.#say({ failures });
    this.#later(pause(failures));
  }

  #saved(answer, keys, draft, id, turn) {
    this.#base = answer.version;
    if (answer.rows) this.#rewritten(answer.rows, keys, draft);
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

  #place() { return `draft ${this.#address} ${this.#window}`; }

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

const lockOf = (name) => `window ${name}`;

// A name for this window that stays while it is loaded again and that no other open window has.
async function windowName() {
  let name = sessionStorage.getItem("window") ?? fresh();
  while (navigator.locks && !(await taken(name))) name = fresh();
  sessionStorage.setItem("window", name);
  return name;
}

// Holds the lock of a name as long as the window is open; false when another window has it.
const taken = (name) =>
  new Promise((answer) => {
    navigator.locks.request(lockOf(name), { ifAvailable: true }, (lock) => {
      answer(Boolean(lock));
      return lock ? new Promise(() => {}) : undefined;
    });
  });
