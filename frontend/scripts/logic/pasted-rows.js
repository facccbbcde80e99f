// The clipboard of a spreadsheet as rows of cells, and rows of cells as a clipboard. Texts only, nothing is understood.

// Cells part at tabs. A cell in quotes may hold tabs and line ends; a quote that is never closed so is an inch mark.
export function cellsOf(text) {
  const rows = [[]];
  const plain = text.replace(/\r\n?/g, "\n").replace(/\n+$/, "");
  let place = 0;
  while (place <= plain.length) {
    const quoted = /^"((?:[^"]|"")*)"(?=[\t\n]|$)/.exec(plain.slice(place, place + 5000));
    const end = quoted ? place + quoted[0].length : endOfCell(plain, place);
    rows.at(-1).push(oneLine(quoted ? quoted[1].replaceAll('""', '"') : plain.slice(place, end)));
    if (plain[end] === "\n") rows.push([]);
    place = end + 1;
  }
  return rows;
}

export const textOf = (rows) => rows.map((cells) => cells.map(asCell).join("\t")).join("\n");

const oneLine = (text) => text.replace(/\s+/g, " ").trim();

const asCell = (text) => (/^"|[\t\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

function endOfCell(text, from) {
  const found = text.slice(from).search(/[\t\n]/);
  return found < 0 ? text.length : from + found;
}
