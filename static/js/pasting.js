// A column or a block pasted into the grid is shown where it would stand, and taken only when that is confirmed: all or nothing.

import { form, needed, say, tell, write } from "./fields.js";
import { wrong } from "./figures.js";

/** What was copied, as rows of cells; the blank lines and cells that a sheet leaves at its ends are no values. */
export function cellsOf(text) {
  const rows = text.split(/\r\n|\n|\r/).map((line) => line.split("\t").map((cell) => cell.trim()));
  const isBlank = (row) => row.every((cell) => cell === "");
  while (rows.length && isBlank(rows.at(-1))) rows.pop();
  while (rows.length && rows[0].length > 1 && rows.every((row) => row.at(-1) === "")) rows.forEach((row) => row.pop());
  return rows;
}

/**
 * Where each value would stand, from a point on: a block keeps its shape; a column longer than the grid goes row by row.
 * What is covered is no point: a row passes over it, and an empty cell of a block stands for it.
 */
export function placed(rows, [row, column], [high, wide], isCovered = () => false) {
  if (rows.every((cells) => cells.length === 1) && row + rows.length > high) {
    let at = row * wide + column - 1;
    const next = () => { do at += 1; while (isCovered(Math.floor(at / wide), at % wide)); return at; };
    return rows.map(([text]) => ({ text, at: next() })).map(({ text, at: place }) => ({ row: Math.floor(place / wide), column: place % wide, text }));
  }
  return rows.flatMap((cells, down) => cells.map((text, across) => ({ row: row + down, column: column + across, text })))
    .filter((value) => value.text !== "" || !isCovered(value.row, value.column));
}

class Preview {
  constructor(grid) {
    this.grid = grid;
    this.element = grid.querySelector("[data-pasting]");
    grid.addEventListener("paste", (event) => this.pasted(event));
    this.element.querySelector("[data-take]").addEventListener("click", () => this.take());
    this.element.querySelector("[data-leave]").addEventListener("click", () => this.leave());
    this.element.addEventListener("keydown", (event) => { if (event.key === "Escape") this.leave(); });
    form.addEventListener("refreshed", () => { if (!this.element.hidden) this.show(); });
    form.addEventListener("input", () => { if (!this.element.hidden) this.show(); });
  }

  box({ row, column }) {
    return this.grid.querySelector(`[data-cell="${row + 1}.${column + 1}"] [data-point]`);
  }

  get size() {
    const rows = [...this.grid.querySelectorAll(".traverse tbody tr")];
    return [rows.length, rows[0].querySelectorAll(".cell").length];
  }

  isCovered(row, column) {
    return this.grid.querySelectorAll(".traverse tbody tr")[row]?.querySelectorAll(".cell")[column]?.dataset.covered !== undefined;
  }

  pasted(event) {
    const box = event.target.closest("[data-cell] [data-point]");
    const cells = cellsOf(event.clipboardData?.getData("text/plain") ?? "");
    if (!box || cells.flat().length < 2) return; // one value goes into its box, as typed
    event.preventDefault();
    this.from = box;
    this.values = placed(cells, box.dataset.point.split(".").map((part) => Number(part) - 1), this.size, (row, column) => this.isCovered(row, column));
    this.show();
    this.element.hidden = false;
    const buttons = [...this.element.querySelectorAll("button")].filter((button) => !button.hidden);
    buttons[0].focus({ preventScroll: true });
    this.element.scrollIntoView({ block: "center" });
  }

  /** What is wrong with a value where it would stand; nothing where it can be taken. */
  problem(value) {
    const { digits, highest, form: right } = JSON.parse(this.grid.dataset.traverse);
    const place = say("paste-place", { row: value.row + 1, column: value.column + 1 });
    if (!this.box(value)) return say("paste-outside", { text: value.text });
    if (value.text === "") return say("paste-empty", { place });
    const why = wrong(value.text, digits, highest && highest.value.map(BigInt));
    if (why === "above") return say("paste-above", { place, text: value.text, highest: highest.text });
    return why && say("paste-not-a-reading", { place, text: value.text, form: right });
  }

  show() {
    const problems = this.values.map((value) => this.problem(value)).filter(Boolean);
    const over = this.values.filter((value) => this.box(value)?.value).length;
    const [first, last] = [this.values[0], this.values.at(-1)].map(({ row, column }) => say("paste-place", { row: row + 1, column: column + 1 }));
    const code = problems.length ? "paste-refused" : "paste-asks";
    write(this.element.querySelector("[data-pasted]"), say(code, { number: this.values.length, first, last }));
    write(this.element.querySelector("[data-over]"), over && !problems.length ? say("paste-over", { number: over }) : "");
    const list = this.element.querySelector("[data-pasted-problems]");
    list.replaceChildren(...problems.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
    this.element.querySelector("table").hidden = problems.length > 0;
    this.element.querySelector("[data-take]").hidden = problems.length > 0;
    if (!problems.length) this.draw();
  }

  /** The grid as it would stand: what is pasted in heavy type, what stands there now beneath it. */
  draw() {
    const [high, wide] = this.size;
    const cell = (name, text) => Object.assign(document.createElement(name), { textContent: text });
    const head = document.createElement("tr");
    head.append(cell("td", ""), ...Array.from({ length: wide }, (_, at) => Object.assign(cell("th", at + 1), { scope: "col", className: "n" })));
    const body = Array.from({ length: high }, (_, row) => {
      const line = document.createElement("tr");
      line.append(Object.assign(cell("th", row + 1), { scope: "row" }), ...Array.from({ length: wide }, (_unused, column) => this.drawn(row, column)));
      return line;
    });
    this.element.querySelector("thead").replaceChildren(head);
    this.element.querySelector("tbody").replaceChildren(...body);
  }

  drawn(row, column) {
    const stands = this.box({ row, column })?.value;
    const value = this.values.find((one) => one.row === row && one.column === column);
    const made = Object.assign(document.createElement("td"), { className: "n" });
    if (!value) { made.textContent = stands || "–"; return made; }
    made.append(Object.assign(document.createElement("b"), { textContent: value.text }));
    if (stands) made.append(Object.assign(document.createElement("span"), { className: "note aside", textContent: say("paste-instead", { text: stands }) }));
    return made;
  }

  take() {
    if (this.values.some((value) => this.problem(value))) { this.show(); return; } // another instrument since
    const values = this.values;
    this.close();
    for (const value of values) {
      const box = this.box(value);
      box.value = value.text;
      for (const name of ["input", "change"]) box.dispatchEvent(new Event(name, { bubbles: true }));
    }
    const last = this.box(values.at(-1));
    (needed().find((box) => box.compareDocumentPosition(last) & Node.DOCUMENT_POSITION_PRECEDING && !box.value && box.matches("[data-point]")) ?? last).focus();
    tell("save-now");
  }

  leave() {
    this.close();
    this.from.focus();
  }

  close() {
    this.element.hidden = true;
    this.values = [];
  }
}

if (form) form.querySelectorAll("[data-traverse]").forEach((grid) => { if (grid.querySelector("[data-pasting]")) new Preview(grid); });
