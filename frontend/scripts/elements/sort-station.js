// Sorting: scan after scan, the place for the piece fills the screen. Wrong and double scans are said, felt and heard.
import { unbroken } from "../logic/sentence.js";
import { alike, judge, layOver, spread, summary, unitsOf } from "../logic/sorting.js";
import { PiecePortions } from "../piece-portions.js";
import { signal } from "../signal.js";
import { Station } from "../station.js";

const HEADS = { misread: "Not read", wrong: "Not here", double: "Scanned before", spare: "Spare" };
class SortStation extends Station {
  // So many units, and so many pieces of one name in each, are listed at once.
  static unitsAtOnce = 40;
  static piecesAtOnce = 40;

  // Facts: the first portion of the job's pieces, and how many there are.
  begin(all) {
    super.begin(all);
    this.portions = new PiecePortions(this.facts, () => this.update());
    this.querySelector("code-entry").pieces = this.portions.all;
    this.last = null;
    this.verdict = null;
    this.unitsShown = SortStation.unitsAtOnce;
    this.portions.fetchAll();
    this.addEventListener("code", ({ detail }) => this.scanned(detail));
    this.addEventListener("click", (event) => this.clicked(event.target.closest("[data-do]")));
  }

  take(word) {
    super.take(spread(word));
  }

  reached(following) {
    super.reached(following);
    if (following && !this.portions.whole) this.portions.fetchAll();
  }

  get state() {
    return layOver(this.word, this.taps, this.mine);
  }

  scanned(read) {
    const { portions } = this;
    if (read.job === this.facts.job && portions.lacks(read.index)) portions.fetch(read.index).then(() => this.judged(read));
    else this.judged(read);
  }

  judged(read) {
    const { state, portions } = this;
    const { job, jobs } = this.facts;
    this.verdict = judge(read, { job, byIndex: portions.byIndex, state, jobs, lacks: (index) => portions.lacks(index) });
    const { kind, piece } = this.verdict;
    if (kind === "place") {
      const id = this.tap("piece sorted", { piece: piece.index, unit: piece.unit });
      this.mine.set(id, { piece: piece.index, before: state.sorted[piece.index] });
      this.last = { id, label: piece.label };
    }
    signal(kind === "place" || kind === "spare" ? "done" : "refused");
    this.showUnits(false);
    this.update();
  }

  clicked(button) {
    if (button?.dataset.do === "units") {
      this.unitsShown = SortStation.unitsAtOnce;
      this.showUnits(this.querySelector("[data-say=units]").hidden);
      this.update();
    }
    if (button?.dataset.do === "more units") {
      this.unitsShown += SortStation.unitsAtOnce;
      this.update();
    }
    if (button?.dataset.do === "undo" && this.last) {
      this.undo(this.last.id);
      this.last = null;
      this.verdict = null;
      this.update();
    }
  }

  showUnits(shown) {
    this.querySelector("[data-say=units]").hidden = !shown;
    this.querySelector("[data-say=verdict]").hidden = shown;
    const button = this.querySelector("[data-do=units]");
    button.textContent = shown ? "Go on scanning" : "What is missing";
    button.ariaExpanded = String(shown);
  }

  update() {
    super.update();
    const { state } = this;
    const { all, come, whole } = this.portions;
    const units = unitsOf(all, state);
    const [here, total] = units.reduce(([one, other], unit) => [one + unit.here, other + unit.total], [0, 0]);
    this.querySelector("[data-say=turn]").textContent = whole ? `${here} of ${total}` : `${come.size} of ${this.facts.portions} parts of the list`;
    this.querySelector("[data-say=summary]").textContent = whole ? summary(units) : "The list of pieces is still on its way to this phone.";
    this.classList.toggle("complete", whole && here === total && total > 0);
    this.updateVerdict(units);
    this.updateUnits(units);
    const undo = this.querySelector("[data-do=undo]");
    undo.hidden = !this.last;
    if (this.last) undo.textContent = unbroken(`Undo: ${this.last.label}`);
  }

  updateVerdict(units) {
    const box = this.querySelector("[data-say=verdict]");
    const { verdict } = this;
    const unit = units.find((one) => one.unit === verdict?.piece?.unit);
    const lines = verdict ? said(verdict, unit, this.facts.units) : idle(units, this.classList.contains("complete"));
    const signature = JSON.stringify(lines);
    box.dataset.kind = verdict?.kind ?? "idle";
    if (box.dataset.signature === signature) return;
    box.dataset.signature = signature;
    box.replaceChildren(...lines.map(([name, words]) => element("p", name, words)));
  }

  // Only while it is looked at, and only so much of it as somebody reads.
  updateUnits(units) {
    const box = this.querySelector("[data-say=units]");
    if (box.hidden) return;
    const list = box.querySelector("ol");
    const shown = units.slice(0, this.unitsShown);
    const more = box.querySelector("[data-do='more units']");
    more.hidden = shown.length === units.length;
    more.textContent = `${units.length - shown.length} more ${units.length - shown.length === 1 ? "unit" : "units"}`;
    const signature = JSON.stringify(shown.map((unit) => [unit.here, unit.missing.map((one) => one.why)]));
    if (list.dataset.signature === signature) return;
    list.dataset.signature = signature;
    list.replaceChildren(
      ...shown.map((unit) => {
        const item = element("li", unit.missing.length ? "" : "done");
        item.append(element("b", "", `Unit ${unit.unit}`), element("span", "count", unit.missing.length ? `${unit.here} of ${unit.total}` : `✓ complete, ${unit.total}`));
        if (unit.missing.length) {
          const lacks = element("ul", "plain");
          for (const { pieces, name, why } of alike(unit.missing)) {
            const one = element("li", "");
            const beyond = pieces.length - SortStation.piecesAtOnce;
            one.append(...pieces.slice(0, SortStation.piecesAtOnce).map(link), `${beyond > 0 ? ` and ${beyond} more` : ""} ${name}: ${why}`);
            lacks.append(one);
          }
          item.append(lacks);
        }
        return item;
      }),
    );
  }
}

customElements.define("sort-station", SortStation);

// What fills the screen after a scan, line by line: [class, words].
function said(verdict, unit, of) {
  const { kind, piece, words } = verdict;
  const which = piece ? [["piece-name", `${piece.label} ${piece.name}${piece.hand ? `, ${piece.hand}-hand` : ""}`]] : [];
  const place = piece?.unit ? [["say", of > 1 ? "Unit" : "It belongs here"], ["unit-number", String(piece.unit)]] : [];
  if (kind === "double") return [["said-before", HEADS.double], ...place, ["why", words], ...which];
  if (kind !== "place") return [["head", HEADS[kind]], ["why", words], ...which];
  const lacks = unit.missing.map((one) => one.piece.label);
  return [
    ...place,
    ["position", [of > 1 ? `bay ${piece.unit} of ${of}` : "", piece.position].filter(Boolean).join(", ")],
    ...which,
    ["count", lacks.length ? `${unit.here} of ${unit.total} here; missing ${unbroken(listed(lacks))}` : `All ${unit.total} of unit ${unit.unit} are here.`],
    ...(words ? [["why", words]] : []),
  ];
}

function idle(units, complete) {
  if (complete) return [["head", "All sorted"], ["why", summary(units)]];
  return [["head", "Scan a label"], ["why", "Then the unit it belongs to stands here."]];
}

function link(piece) {
  const made = element("a", "target", unbroken(piece.label));
  made.href = `/p/${piece.code}`;
  return made;
}

const listed = (labels) => (labels.length > 6 ? `${labels.slice(0, 5).join(", ")} and ${labels.length - 5} more` : labels.join(", "));

function element(name, kind, words = "") {
  const made = document.createElement(name);
  made.className = kind;
  made.textContent = words;
  return made;
}

