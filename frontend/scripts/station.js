// Starts a page that works with pieces or units: its facts, the bench's word, what this phone keeps, sound, screen awake.
import { Outbox } from "./outbox.js";
import { PieceWord, stayAwake } from "./piece-word.js";
import { readySound } from "./signal.js";

const read = (id) => JSON.parse(document.getElementById(id).textContent);

// `name` is the element that shows it, `standing` the address of the bench's word. Answers the element.
export function startStation(name, standing) {
  const [facts, word] = [read("facts"), read("standing")];
  const outbox = new Outbox(facts.job);
  const station = document.querySelector(name);
  station.begin({ facts, word, outbox });
  outbox.start();
  new PieceWord(facts.job, standing(facts), { seq: word.seq, hear: (now) => station.hear(now), reached: (now) => station.reached(now) }).start();
  readySound();
  stayAwake();
  return station;
}
