// The board on the wall: a card for each station with its run, large; nothing on it is to be tapped.
import { pageId } from "../device.js";
import { setTexts, showLengths } from "../lengths.js";
import { stationsNow } from "../logic/board.js";
import { heardAfter } from "../logic/heard.js";
import { leftWords, minutesLeft } from "../logic/time-left.js";

const MOST = 3;

customElements.define(
  "job-board",
  class extends HTMLElement {
    begin({ facts, word }) {
      this.facts = facts;
      this.word = word;
      this.page = pageId();
      this.following = null;
      this.addEventListener("ways", () => this.update());
      this.update();
    }

    hear(word) {
      if (word.seq < this.word.seq) return;
      this.word = heardAfter(this.word, word);
      if (this.word.sheet !== this.facts.mark) location.reload();
      this.update();
    }

    reached(following) {
      this.following = following;
      this.update();
    }

    // Idempotent.
    update() {
      const { runs, shown } = this.facts;
      showLengths(this, Math.max(0, shown.indexOf(document.documentElement.dataset.show)));
      for (const now of stationsNow(runs, this.word.runs, this.word.here)) this.updateCard(now);
      say(this, "left", leftWords(minutesLeft(runs, this.word.runs)) || "all runs are done");
      const away = this.querySelector("[data-say=away]");
      away.hidden = this.following !== false;
    }

    updateCard({ station, run, who, phase, left, need, done, of }) {
      const card = this.querySelector(`[data-station="${CSS.escape(station)}"]`);
      card.dataset.phase = phase;
      say(card, "who", who.join(", "));
      say(card, "runs", run ? `run ${run.number} · ${done} of ${of} done` : `${of} of ${of} done`);
      const counts = phase === "count";
      const stop = run?.stops[0];
      const figure = card.querySelector(".figure");
      const texts = counts ? this.facts.shown.map(() => String(left)) : (stop?.texts ?? this.facts.shown.map(() => ""));
      figure.hidden = !counts && !stop;
      if (!figure.hidden) setTexts(figure, texts);
      const others = run && !counts && run.stops.length > 1 ? `, and ${run.stops.length - 1} more` : "";
      say(card, "what", run ? (counts ? `left of ${need}` : stop ? `${stop.name}${others}` : run.work) : "done");
      say(card, "pieces", run ? `${run.work}: ${piecesWords(run)}` : "");
    }
  },
);

function piecesWords({ pieces }) {
  const said = pieces.slice(0, MOST).map(({ mark, mirrored, need, marks }) => `${need > 1 || marks.includes(mark) ? `${need} × ` : ""}${mark}${mirrored ? " mirrored" : ""}`);
  return [...said, pieces.length > MOST ? `${pieces.length - MOST} more` : ""].filter(Boolean).join(", ");
}

function say(root, name, words) {
  const box = root.querySelector(`[data-say=${name}]`);
  if (box.textContent !== words) box.textContent = words;
}
