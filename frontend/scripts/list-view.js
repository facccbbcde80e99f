// Draws a list as a grid: rows are made once and told only what has changed, so that 500 of them stay quick.
import { shownFaults } from "./logic/draft.js";
import { marked, textAt } from "./logic/list-edit.js";

export class ListView {
  #columns; #table; #body; #drawn = new Map(); #lit = []; #before = null;

  constructor(table, columns) {
    this.#columns = columns;
    this.#table = table;
    const head = element("tr", { role: "row" });
    head.append(element("th", { role: "columnheader", scope: "col", className: "place" }, element("span", { className: "heard" }, "Row")));
    for (const { field, label, number } of columns) head.append(element("th", { role: "columnheader", scope: "col", "data-field": field, className: number ? "n" : "" }, label));
    this.#body = element("tbody", { role: "rowgroup" });
    table.replaceChildren(element("thead", { role: "rowgroup" }, head), this.#body);
  }

  cellAt(list, row, column) {
    return this.#drawn.get(keyAt(list, row))?.cells[column];
  }

  placeOf(cell) {
    return [Number(cell.parentElement.dataset.row), Number(cell.dataset.column)];
  }

  // `answer` is what the bench said last: readings and faults by the key of the row. `filling` is the row being filled in.
  update(list, { readings, faults, filling }) {
    const rows = [...list.rows, { key: "blank", cells: {} }];
    this.#table.setAttribute("aria-rowcount", rows.length + 1);
    const stays = new Set(rows.map((row) => row.key));
    for (const [key, drawn] of this.#drawn) {
      if (stays.has(key)) continue;
      drawn.row.remove();
      drawn.said?.remove();
      this.#drawn.delete(key);
    }
    let next = this.#body.firstElementChild;
    for (const [place, row] of rows.entries()) {
      const drawn = this.#drawn.get(row.key) ?? this.#make(row.key);
      if (drawn.row !== next) this.#body.insertBefore(drawn.row, next);
      this.#fill(drawn, row, place, readings.get(row.key) ?? {}, shownFaults(faults.get(row.key) ?? [], row.cells, place === filling));
      if (drawn.said && drawn.row.nextElementSibling !== drawn.said) drawn.row.after(drawn.said);
      next = (drawn.said ?? drawn.row).nextElementSibling;
    }
    this.#light(list);
  }

  #make(key) {
    const row = element("tr", { role: "row" });
    const head = element("th", { role: "rowheader", scope: "row", className: "place" });
    row.append(head);
    const cells = this.#columns.map(({ field, number }, column) => {
      const cell = element("td", { role: "gridcell", tabIndex: -1, "data-field": field, "data-column": column });
      if (number) cell.classList.add("n");
      row.append(cell);
      return cell;
    });
    const drawn = { row, head, cells, texts: [] };
    if (key === "blank") row.classList.add("blank");
    this.#drawn.set(key, drawn);
    return drawn;
  }

  #fill(drawn, row, place, readings, faults) {
    if (drawn.place !== place) {
      drawn.place = place;
      drawn.row.dataset.row = place;
      drawn.row.setAttribute("aria-rowindex", place + 2);
      drawn.head.textContent = row.key === "blank" ? "+" : place + 1;
    }
    if (drawn.source === row.cells && drawn.readings === readings && drawn.faults === faults.length && !faults.length) return;
    [drawn.source, drawn.readings, drawn.faults] = [row.cells, readings, faults.length];
    const at = new Set(faults.map((fault) => fault.field));
    for (const [column, { field }] of this.#columns.entries()) {
      const text = String(row.cells[field] ?? "");
      const usual = text ? "" : readings[field] ?? "";
      const bad = this.#isAtFault(field, at);
      const mark = `${text}\u0000${usual}\u0000${bad}`;
      if (drawn.texts[column] === mark) continue;
      drawn.texts[column] = mark;
      const cell = drawn.cells[column];
      cell.classList.toggle("bad", bad);
      for (const one of [cell, ...cell.querySelectorAll("input")]) one.ariaInvalid = bad ? "true" : null;
      if (!cell.querySelector("input")) cell.replaceChildren(...(usual ? [element("span", { className: "usual" }, usual)] : [text]));
    }
    this.#sayBelow(drawn, faults);
  }

  #isAtFault(field, at) {
    return at.has(field) || [...at].some((one) => one.startsWith(`${field} `));
  }

  #sayBelow(drawn, faults) {
    const lines = new Map();
    for (const { field, what, next_step } of faults) {
      const said = `${what}\n${next_step}`;
      lines.set(said, [...(lines.get(said) ?? []), this.#label(field)]);
    }
    const words = JSON.stringify([...lines]);
    if (drawn.words === words) return;
    drawn.words = words;
    drawn.said?.remove();
    drawn.said = undefined;
    if (!lines.size) return;
    const list = element("ul", { className: "plain" });
    for (const [said, labels] of lines) {
      const [what, next] = said.split("\n");
      const fault = labels.length > 1 ? what.replace(/^is /, "are ") : what;
      list.append(element("li", {}, element("b", {}, labels.join(", ")), ` ${fault}`, element("em", {}, next)));
    }
    drawn.said = element("tr", { role: "row", className: "said" }, element("td", { role: "gridcell", colSpan: this.#columns.length + 1 }, list));
  }

  #label(field) {
    return this.#columns.find((column) => column.field === field.split(" ")[0])?.label ?? field;
  }

  // Shows where one stands and what is marked; only the cells that were lit before are put out.
  #light(list) {
    for (const cell of this.#lit) cell.removeAttribute("aria-selected");
    this.#lit = [];
    if (list.from) {
      const { top, bottom, left, right } = marked(list);
      for (let row = top; row <= bottom; row += 1) {
        for (let column = left; column <= right; column += 1) {
          const cell = this.cellAt(list, row, column);
          cell?.setAttribute("aria-selected", "true");
          if (cell) this.#lit.push(cell);
        }
      }
    }
    const now = this.cellAt(list, list.at.row, list.at.column);
    if (now === this.#before) return;
    if (this.#before) this.#before.tabIndex = -1;
    this.#before = now;
    if (now) now.tabIndex = 0;
  }

  // After an input has stood in a cell: what it holds is drawn again.
  redraw(list, row, column) {
    const drawn = this.#drawn.get(keyAt(list, row));
    if (!drawn) return;
    drawn.texts[column] = undefined;
    drawn.source = undefined;
    drawn.cells[column].textContent = textAt(list, row, column);
  }
}

export function element(tag, properties = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (name in made) made[name] = value;
    else made.setAttribute(name, value);
  }
  made.append(...children);
  return made;
}

const keyAt = (list, row) => list.rows[row]?.key ?? "blank";
