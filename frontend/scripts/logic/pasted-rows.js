// The clipboard of a spreadsheet as rows of cells, and rows of cells as a clipboard. Texts only, nothing is understood.

// Cells part at tabs. A cell in quotes may hold tabs and line ends; a quote that is never closed so is an inch mark.
/** @param {string} text */
export function cellsOf(text) {
  /** @type {string[]} */
  let cells = [];
  const rows = [cells];
  const plain = text.replace(/\r\n?/g, "\n").replace(/\n+$/, "");
  let place = 0;
  while (place <= plain.length) {
    const quoted = /^"((?:[^"]|"")*)"(?=[\t\n]|$)/.exec(plain.slice(place, place + 5000));
    const end = quoted ? place + quoted[0].length : endOfCell(plain, place);
    cells.push(oneLine(quoted ? quoted[1].replaceAll('""', '"') : plain.slice(place, end)));
    if (plain[end] === "\n") rows.push((cells = []));
    place = end + 1;
  }
  return rows;
}

/** @type {(rows: string[][]) => string} */
export const textOf = (rows) => rows.map((cells) => cells.map(asCell).join("\t")).join("\n");

/** @type {(text: string) => string} */
const oneLine = (text) => text.replace(/\s+/g, " ").trim();

/** @type {(text: string) => string} */
const asCell = (text) => (/^"|[\t\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

/** @param {string} text @param {number} from */
function endOfCell(text, from) {
  const found = text.slice(from).search(/[\t\n]/);
  return found < 0 ? text.length : from + found;
}
