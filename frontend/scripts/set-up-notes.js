// Notes and photos of a set-up at its run: written, taken, shown, taken back. A photo is drawn anew on the phone, so that
// only what is to be seen of it is kept; the bench does the same once more.
import { sure } from "./guard.js";
import { whose } from "./logic/phase.js";
import { signal } from "./signal.js";

const LONGEST = 1024;
const QUALITY = 0.7;

export class SetUpNotes {
  /** @type {import("./elements/run-stepper.js").RunStepper} */
  #page;

  // `page` is the run stepper.
  constructor(page) {
    this.#page = page;
    this.pad = page.querySelector("note-pad");
    for (const name of ["opened", "closed"]) this.pad.addEventListener(name, () => page.blind.look());
    this.pad.addEventListener("noted", ({ detail }) => page.send("run noted", { run: page.run.key, text: detail }));
    page.addEventListener("change", ({ target }) => "photo" in target.dataset && this.#take(target));
  }

  write() {
    this.pad.open();
  }

  takeBack(button) {
    if (sure(button, "Deleted for everyone. Tap again")) this.#page.send("undo", { event: button.dataset.event });
  }

  // Brings the list at a run in line. Idempotent; a picture that is shown already stays in place.
  update(section, { notes = [] }, people) {
    const list = section.querySelector("[data-say=notes]");
    for (const item of [...list.children]) if (!notes.some((one) => sign(one) === item.dataset.sign)) item.remove();
    for (const note of notes) {
      if (![...list.children].some((item) => item.dataset.sign === sign(note))) list.append(this.#item(note, people));
    }
  }

  #item(note, people) {
    const item = document.createElement("li");
    item.dataset.sign = sign(note);
    const words = document.createElement("span");
    const by = whose(note, people);
    if (note.picture && !note.waiting) {
      const image = new Image();
      Object.assign(image, { src: `/jobs/${note.job ?? people.job}/pictures/${note.id}`, alt: `Photo of the set-up${by ? `, by ${by}` : ""}`, loading: "lazy" });
      words.append(image);
    } else words.textContent = note.picture ? "Photo, kept on this phone until the bench is in reach" : `${note.text}${by ? ` (${by})` : ""}`;
    const away = document.createElement("button");
    Object.assign(away, { type: "button", className: "quiet", textContent: "Remove", ariaLabel: note.picture ? "Remove this photo" : `Remove the note ${note.text}` });
    Object.assign(away.dataset, { do: "unnote", event: note.id });
    item.append(words, away);
    return item;
  }

  async #take(input) {
    const [file] = input.files;
    input.value = "";
    if (!file) return;
    const { key } = this.#page.run;
    const said = input.closest(".set-up").querySelector("[data-say=photo]");
    const jpeg = await redrawn(file);
    said.hidden = Boolean(jpeg);
    said.textContent = jpeg ? "" : "This photo cannot be read on this phone. Take it again, as a JPEG.";
    if (jpeg && this.#page.run?.key === key) {
      this.#page.send("run pictured", { run: key, jpeg });
      signal("done");
    }
  }
}

const sign = ({ id, waiting }) => `${id} ${waiting ? "waiting" : ""}`;

// The picture as a small JPEG in base64, with nothing in it but its pixels; "" where the browser cannot read it.
async function redrawn(file) {
  try {
    const seen = await createImageBitmap(file, { imageOrientation: "from-image" });
    const share = Math.min(1, LONGEST / Math.max(seen.width, seen.height));
    const canvas = document.createElement("canvas");
    Object.assign(canvas, { width: Math.round(seen.width * share), height: Math.round(seen.height * share) });
    canvas.getContext("2d").drawImage(seen, 0, 0, canvas.width, canvas.height);
    return canvas.toDataURL("image/jpeg", QUALITY).split(",")[1];
  } catch {
    return "";
  }
}
