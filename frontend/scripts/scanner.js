// The camera as a scanner: read on the phone where its browser can, else a few frames a second read at the bench.
import { send } from "./wire.js";

const PAUSE = 400;
const LONGEST = 1600;

// A page gets the camera only where it is secure; elsewhere a photo or the typed code does.
export const canScan = () => globalThis.isSecureContext && Boolean(navigator.mediaDevices?.getUserMedia);

export class Scanner {
  #stream = null;
  #timer = 0;

  // `seen` gets the texts of all codes in a frame.
  constructor(video, seen) {
    this.video = video;
    this.seen = seen;
  }

  get running() {
    return this.#stream !== null;
  }

  async start() {
    this.#stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" }, audio: false });
    this.video.srcObject = this.#stream;
    await this.video.play();
    this.reader = await ownReader();
    this.#look();
  }

  stop() {
    clearTimeout(this.#timer);
    for (const track of this.#stream?.getTracks() ?? []) track.stop();
    this.#stream = null;
    this.video.srcObject = null;
  }

  async #look() {
    if (!this.running) return;
    try {
      const texts = this.reader ? (await this.reader.detect(this.video)).map((one) => one.rawValue) : await this.#askBench();
      if (texts.length && this.running) this.seen(texts);
    } catch {
      // A frame that cannot be read: the next one comes at once.
    }
    this.#timer = setTimeout(() => this.#look(), PAUSE);
  }

  async #askBench() {
    const answer = await send("/scan", await shrunk(this.video, this.video.videoWidth, this.video.videoHeight));
    return answer.ok ? answer.data.found.map((one) => one.code) : [];
  }
}

async function ownReader() {
  const formats = (await globalThis.BarcodeDetector?.getSupportedFormats?.()) ?? [];
  return formats.includes("qr_code") ? new BarcodeDetector({ formats: ["qr_code"] }) : null;
}

// A photo or a frame as a form, no larger than is needed to read labels, so that it is quick over a weak network.
async function shrunk(source, width, height) {
  const scale = Math.min(1, LONGEST / Math.max(width, height, 1));
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [Math.round(width * scale), Math.round(height * scale)];
  canvas.getContext("2d").drawImage(source, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85));
  const form = new FormData();
  form.append("photo", blob, "photo.jpg");
  return form;
}

// A chosen file as a form, made smaller where the browser can open it; else as it is, and the bench says what it thinks.
export async function photoForm(file) {
  try {
    const picture = await createImageBitmap(file);
    return await shrunk(picture, picture.width, picture.height);
  } catch {
    const form = new FormData();
    form.append("photo", file);
    return form;
  }
}
