// What the scripts may take for granted of the pages that they work on. A page is looked through for HTML elements only,
// by its own marks; where more than that has to be known of one, its type stands beside it in the script.

import type { ListEditor } from "./scripts/elements/list-editor.js";
import type { RunStepper } from "./scripts/elements/run-stepper.js";
import type { Outbox } from "./scripts/outbox.js";

type Input = `input[${string}`;
type Button = `button[${string}`;
type Select = `select[${string}`;
type Fold = `details[${string}`;
type Form = `form.${string}` | `form[${string}`;

/** A pad that is opened over a page. */
interface Pad extends HTMLElement {
  readonly isOpen: boolean;
  open(...about: unknown[]): void;
}

declare global {
  interface ParentNode {
    querySelector<K extends keyof HTMLElementTagNameMap>(selectors: K): HTMLElementTagNameMap[K] | null;
    querySelector(selectors: Input): HTMLInputElement | null;
    querySelector(selectors: Button): HTMLButtonElement | null;
    querySelector(selectors: Select): HTMLSelectElement | null;
    querySelector(selectors: Form): HTMLFormElement | null;
    querySelector(selectors: string): HTMLElement | null;
    querySelectorAll<K extends keyof HTMLElementTagNameMap>(selectors: K): NodeListOf<HTMLElementTagNameMap[K]>;
    querySelectorAll(selectors: Input): NodeListOf<HTMLInputElement>;
    querySelectorAll(selectors: Button): NodeListOf<HTMLButtonElement>;
    querySelectorAll(selectors: Fold): NodeListOf<HTMLDetailsElement>;
    querySelectorAll(selectors: string): NodeListOf<HTMLElement>;
  }

  interface Element {
    closest<K extends keyof HTMLElementTagNameMap>(selectors: K): HTMLElementTagNameMap[K] | null;
    closest(selectors: string): HTMLElement | null;
  }

  interface UIEvent {
    readonly target: HTMLElement;
  }

  interface HTMLElementEventMap {
    code: CustomEvent;
    measured: CustomEvent;
    noted: CustomEvent;
    overflow: CustomEvent;
    pasted: CustomEvent;
    press: CustomEvent;
    used: CustomEvent;
  }

  /** Our own elements, as far as others ask something of them. */
  interface HTMLElementTagNameMap {
    "code-entry": HTMLElement & { pieces: Piece[] };
    "count-pedal": HTMLElement & { key: string };
    "far-view": HTMLElement & { on: boolean; update(now: object): void };
    "job-board": HTMLElement & { begin(all: object): void; page: string; word: Word & { seq: number }; hear(word: Word): void; reached(following: boolean): void };
    "list-editor": ListEditor;
    "local-voice": HTMLElement & { opens(key: string, words: string): void };
    "machine-needed": Pad;
    "note-pad": Pad;
    "number-pad": Pad;
    "run-stepper": RunStepper;
    "sending-line": HTMLElement & { follow(outbox: Outbox, more?: () => object): void; look(): void };
    "typed-form": HTMLElement & { fill(sets: Record<string, string>): void };
  }

  /** Only some browsers have it. */
  var BarcodeDetector: { new (how: { formats: string[] }): { detect(source: CanvasImageSource): Promise<{ rawValue: string }[]> }; getSupportedFormats?(): Promise<string[]> } | undefined;
}
