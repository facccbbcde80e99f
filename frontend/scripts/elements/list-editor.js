// A list edited like a spreadsheet: keys, typing, pasting, marking. Knows nothing of parts; what cells mean the bench says.
import { faultsByRow } from "../logic/draft.js";
import * as edit from "../logic/list-edit.js";
import { cellsOf, textOf } from "../logic/pasted-rows.js";
import { ListView, element } from "../list-view.js";

const DO = {
  add: edit.addRow,
  copy: edit.copyRows,
  split: edit.splitRows,
  delete: edit.deleteRows,
  up: (list) => edit.moveRows(list, -1),
  down: (list) => edit.moveRows(list, 1),
  undo: edit.undo,
  redo: edit.redo,
};
const MOVES = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1], PageUp: [-12, 0], PageDown: [12, 0] };

// Events up: "typing" while a cell is open, "edited" when the list has changed, "overflow" with columns that did not fit.
export class ListEditor extends HTMLElement {
  #list; #columns; #view; #input = null; #answer = { readings: new Map(), faults: new Map() }; #filling = -1;

  start({ columns, rows, answer }) {
    this.#columns = columns;
    const fields = columns.map((column) => column.field);
    this.#list = edit.listOf(fields, rows, columns.filter((column) => column.unique).map((column) => column.field));
    const table = this.querySelector("table");
    table.setAttribute("aria-colcount", columns.length + 1);
    this.#view = new ListView(table, columns);
    table.addEventListener("keydown", (event) => (this.#input ? this.#keyInCell(event) : this.#keyOnGrid(event)));
    table.addEventListener("pointerdown", (event) => this.#pressed(event));
    table.addEventListener("dblclick", (event) => event.target.closest("td[data-column]") && this.#open(this.#text));
    table.addEventListener("focusin", (event) => this.#stoodOn(event));
    table.addEventListener("focusout", (event) => this.#left(event));
    this.addEventListener("click", (event) => this.#clicked(event));
    this.addEventListener("copy", (event) => this.#copy(event));
    this.addEventListener("cut", (event) => this.#copy(event) && this.#change(edit.clear(this.#list)));
    this.addEventListener("paste", (event) => this.#paste(event));
    this.hear(answer, edit.filled(this.#list).keys);
  }

  // The rows as they stand, with what is being typed.
  get draft() {
    return edit.filled(this.#input ? edit.write(this.#list, this.#input.value) : this.#list);
  }

  hear({ faults, readings }, keys) {
    this.#answer = {
      faults: faultsByRow(faults.filter((fault) => fault.table), keys),
      readings: new Map(keys.map((key, place) => [key, readings[place] ?? {}])),
    };
    this.#update();
  }

  // Other rows in the place of these; it can be undone.
  replace(rows) {
    this.#close(true);
    const emptied = { ...this.#list, rows: [] };
    const made = edit.addFilled(emptied, rows);
    this.#list = edit.standAt({ ...made, past: [...this.#list.past, { rows: this.#list.rows, at: this.#list.at }] }, this.#list.at.row, this.#list.at.column);
    this.#update();
    return edit.filled(this.#list);
  }

  // The same rows written otherwise by the bench, by their keys; it is nothing to undo, and what was changed since stays.
  retype(keys, before, after) {
    this.#change(edit.retyped(this.#list, keys, before, after));
  }

  addFilled(rows) {
    this.#change(edit.addFilled(this.#list, rows));
  }

  get #text() { return edit.textAt(this.#list, this.#list.at.row, this.#list.at.column); }
  get #column() { return this.#columns[this.#list.at.column]; }

  #keyOnGrid(event) {
    const { key, shiftKey, altKey } = event;
    const command = event.ctrlKey || event.metaKey;
    const move = MOVES[key];
    const far = command ? 1e6 : 1;
    if (altKey && (key === "ArrowUp" || key === "ArrowDown")) this.#do(key === "ArrowUp" ? "up" : "down");
    else if (altKey && key === "Enter") this.#do("add");
    else if (command && key === "Enter") this.#do("copy");
    else if (command && (key === "Delete" || key === "Backspace")) this.#do("delete");
    else if (command && key.toLowerCase() === "z") this.#do(shiftKey ? "redo" : "undo");
    else if (command && key.toLowerCase() === "y") this.#do("redo");
    else if (command && key.toLowerCase() === "a") this.#go(edit.standAt(edit.standAt(this.#list, 0, 0), this.#list.rows.length - 1, this.#columns.length - 1, { extend: true }));
    else if (command && (key === "Home" || key === "End")) this.#go(edit.standAt(this.#list, key === "Home" ? 0 : this.#list.rows.length, key === "Home" ? 0 : this.#columns.length - 1, { extend: shiftKey }));
    else if (move && !altKey) this.#go(edit.step(this.#list, move[0] * far, move[1] * far, { extend: shiftKey }));
    else if (key === "Home" || key === "End") this.#go(edit.standAt(this.#list, this.#list.at.row, key === "Home" ? 0 : this.#columns.length - 1, { extend: shiftKey }));
    else if (key === "Tab") { if (!this.#onward(shiftKey ? -1 : 1)) return; }
    else if (key === "Enter" || key === "F2") this.#open(this.#text);
    else if (key === "Escape") this.#leave();
    else if (key === "Delete" || key === "Backspace") this.#change(edit.clear(this.#list));
    else if (key.length === 1 && !command && !altKey) return this.#open("");
    else return;
    event.preventDefault();
  }

  #keyInCell(event) {
    const { key, shiftKey } = event;
    if (event.isComposing) return;
    if (key === "Escape") this.#close(false);
    else if (key === "Enter") {
      this.#close(true);
      this.#go(edit.step(this.#list, shiftKey ? -1 : 1, 0));
    } else if (key === "Tab") {
      this.#close(true);
      this.#onward(shiftKey ? -1 : 1);
    } else if (key === "ArrowUp" || key === "ArrowDown") {
      if (this.#input.list) return;
      this.#close(true);
      this.#go(edit.step(this.#list, key === "ArrowUp" ? -1 : 1, 0));
    } else return;
    event.preventDefault();
  }

  #onward(by) {
    const next = edit.onward(this.#list, by);
    if (next === this.#list) return false;
    this.#go(next);
    return true;
  }

  #leave() {
    if (this.#list.from) return this.#go({ ...this.#list, from: null });
    this.querySelector("[data-leave]")?.focus();
  }

  #pressed(event) {
    const cell = event.target.closest("td[data-column]");
    const row = event.target.closest("tr[data-row]");
    if (!row || event.target === this.#input) return;
    event.preventDefault();
    this.#close(true);
    if (!cell) {
      const place = Number(row.dataset.row);
      return this.#go(edit.standAt(edit.standAt(this.#list, place, 0), place, this.#columns.length - 1, { extend: true }));
    }
    const [at, column] = this.#view.placeOf(cell);
    const again = !event.shiftKey && this.#list.at.row === at && this.#list.at.column === column && document.activeElement === cell;
    this.#go(edit.standAt(this.#list, at, column, { extend: event.shiftKey }));
    if (again || event.pointerType === "touch") this.#open(this.#text);
  }

  #clicked(event) {
    const button = event.target.closest("button[data-do]");
    if (button && DO[button.dataset.do]) this.#do(button.dataset.do);
  }

  #do(what) {
    this.#close(true);
    this.#change(DO[what](this.#list));
    if (what === "add") this.#focus();
  }

  #open(text) {
    if (this.#input) return;
    const { row, column } = this.#list.at;
    const { label, choices, known } = this.#column;
    const cell = this.#view.cellAt(this.#list, row, column);
    this.#input = element("input", { type: "text", autocomplete: "off", spellcheck: false, ariaLabel: `${label}, row ${row + 1}`, value: text });
    if (choices || known) this.#input.setAttribute("list", this.#offer(column));
    this.#input.addEventListener("input", () => this.#typing());
    cell.replaceChildren(this.#input);
    cell.classList.add("open");
    this.#input.focus({ preventScroll: true });
    this.#input.scrollIntoView({ block: "nearest", inline: "nearest" });
    if (text) this.#input.select();
  }

  #offer(column) {
    const { field, choices } = this.#columns[column];
    const used = choices ?? [...new Set(this.#list.rows.map((row) => row.cells[field]).filter(Boolean))].slice(0, 60);
    let offer = this.querySelector("datalist");
    if (!offer) this.append((offer = element("datalist", { id: "offer" })));
    offer.replaceChildren(...used.map((choice) => element("option", { value: choice })));
    return offer.id;
  }

  #typing() {
    this.#filling = this.#list.at.row;
    this.dispatchEvent(new CustomEvent("typing", { bubbles: true }));
  }

  // Ends typing in a cell, keeping or dropping what was typed.
  #close(keep) {
    if (!this.#input) return;
    const input = this.#input;
    const { row, column } = this.#list.at;
    this.#input = null;
    const cell = input.parentElement;
    cell.classList.remove("open");
    const text = edit.completed(input.value, this.#column.choices);
    const next = keep ? edit.write(this.#list, text) : this.#list;
    const held = document.activeElement === input;
    input.remove();
    this.#view.redraw(this.#list, row, column);
    this.#change(next, true);
    if (held) this.#focus();
  }

  #change(next, typed = false) {
    const same = next.rows === this.#list.rows;
    const held = this.contains(document.activeElement) && !document.activeElement.closest("[data-do]");
    this.#list = next;
    if (same && typed) this.dispatchEvent(new CustomEvent("typing", { bubbles: true }));
    this.#update();
    if (same) return;
    if (typed) this.#filling = next.at.row;
    if (held) this.#focus(); // a row that moves takes the focus out of the page
    this.dispatchEvent(new CustomEvent("edited", { bubbles: true }));
  }

  #go(next) {
    const row = this.#list.at.row;
    this.#list = next;
    if (row !== next.at.row) this.#filling = -1;
    this.#update();
    this.#focus();
  }

  #focus() {
    const cell = this.#view.cellAt(this.#list, this.#list.at.row, this.#list.at.column);
    cell?.focus({ preventScroll: true });
    cell?.scrollIntoView({ block: "nearest", inline: "nearest" });
  }

  #stoodOn(event) {
    const cell = event.target.closest("td[data-column]");
    if (!cell || this.#input) return;
    const [row, column] = this.#view.placeOf(cell);
    if (row !== this.#list.at.row || column !== this.#list.at.column) {
      this.#list = edit.standAt(this.#list, row, column);
      this.#update();
    }
    this.#sayReading();
  }

  #left(event) {
    if (this.#input && event.target === this.#input && !this.contains(event.relatedTarget)) this.#close(true);
    if (!this.contains(event.relatedTarget) && this.#filling >= 0) {
      this.#filling = -1;
      this.#update();
    }
  }

  #copy(event) {
    if (this.#input || !event.target.closest("table")) return false;
    const { top, bottom, left, right } = edit.marked(this.#list);
    const rows = [];
    for (let row = top; row <= bottom; row += 1) rows.push(Array.from({ length: right - left + 1 }, (_, place) => edit.textAt(this.#list, row, left + place)));
    event.clipboardData.setData("text/plain", textOf(rows));
    event.preventDefault();
    return true;
  }

  #paste(event) {
    const text = event.clipboardData.getData("text/plain");
    if (!event.target.closest("table") || !text || (this.#input && !/[\t\n]/.test(text.trim()))) return;
    event.preventDefault();
    this.#close(false);
    const block = cellsOf(text);
    const asked = new CustomEvent("pasted", { bubbles: true, cancelable: true, detail: { text, block } });
    if (!this.dispatchEvent(asked)) return; // the page has it read by the bench: it brought its own header
    this.putDown(block);
  }

  putDown(block) {
    const { list, leftOut } = edit.putDown(this.#list, block);
    this.#change(list);
    if (leftOut > 0) this.dispatchEvent(new CustomEvent("overflow", { bubbles: true, detail: leftOut }));
  }

  #update() {
    this.#view.update(this.#list, { ...this.#answer, filling: this.#filling });
    for (const [what, can] of [["undo", this.#list.past.length], ["redo", this.#list.future.length]]) {
      const button = this.querySelector(`button[data-do=${what}]`);
      if (button) button.disabled = !can;
    }
    this.#sayReading();
  }

  // The line below says how the cell one stands on is read, or what it is for.
  #sayReading() {
    const line = this.querySelector("[data-say=reading]");
    if (!line) return;
    const { row, column } = this.#list.at;
    const { field, label, about } = this.#columns[column];
    const read = this.#text && this.#answer.readings.get(this.#list.rows[row]?.key)?.[field];
    const words = !this.contains(document.activeElement) ? "" : read ? `${label}: ${this.#text} is read as ${read}` : `${label}: ${about}`;
    if (line.textContent !== words) line.textContent = words;
  }
}

customElements.define("list-editor", ListEditor);
