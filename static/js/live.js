// The figures of each traverse so far, beside its grid, and what each limit on them says: provisional, exact.

import { markGone } from "./asking.js";
import { compare, decimal, divide, fraction, rounded, shown, shownBeside } from "./exact.js";
import { departure, figures, inUnitOf, pointValue, says, side, wrong } from "./figures.js";
import { form, say, write } from "./fields.js";

const PERCENT = new Set(["spread-percent", "deviation-percent", "low-deviation-percent"]);
const signed = (value) => (rounded(value, 0)[0] > 0n ? "+" : "") + shown(value, 0);

class Block {
  constructor(element) {
    this.element = element;
    this.cells = [...element.querySelectorAll(".cell[data-cell]")];
  }

  texts(place) {
    return [...this.element.querySelectorAll(`[data-point="${place}"]`)]
      .filter((box) => !form.elements.namedItem(`${box.name}-struck`)?.value.trim())
      .map((box) => box.value);
  }

  draw() {
    this.facts = JSON.parse(this.element.dataset.traverse);
    const { digits } = this.facts;
    this.most = this.facts.highest && fraction(...this.facts.highest.value.map(BigInt));
    const points = this.cells.map((cell) => ({ cell, value: pointValue(this.texts(cell.dataset.cell), digits, this.most), edge: cell.dataset.edge !== undefined }));
    const found = figures(points);
    markGone(this.element, (place) => this.texts(place));
    found.typed = { lowest: this.typed(points.filter((point) => !point.edge), found.lowest), highest: this.typed(points, found.highest) };
    found.complete &&= this.facts.enough;
    points.forEach((point) => this.shade(point, found.average));
    this.drawFigures(found);
    this.facts.limits.forEach((limit, index) => this.drawLimit(limit, index, found));
    this.drawCauses(found);
    this.element.dataset.read = found.read;
    return found;
  }

  /** The digits that were typed for a value, where one reading is it. */
  typed(points, value) {
    const texts = (point) => this.texts(point.cell.dataset.cell).filter((text) => text !== "");
    const found = value && points.find((point) => point.value && texts(point).length === 1 && compare(point.value, value) === 0);
    return found ? texts(found)[0] : "";
  }

  shade({ cell, value }, average) {
    const off = value ? departure(value, average) : null;
    const size = (bound) => off && compare([off[0] < 0n ? -off[0] : off[0], off[1]], bound) >= 0;
    const step = size([10n, 1n]) ? "-2" : size([5n, 1n]) ? "-1" : "";
    const shade = step && (off[0] < 0n ? "slow" : "fast") + step;
    cell.classList.remove("slow-1", "slow-2", "fast-1", "fast-2");
    if (shade) cell.classList.add(shade);
    cell.classList.toggle("asked", this.element.querySelector(`.question:not([data-waits])[data-of="${cell.dataset.cell}"]`) !== null);
    const box = cell.querySelector("[data-point]");
    const why = box.value !== "" && wrong(box.value, this.facts.digits, this.most);
    cell.classList.toggle("wrong", Boolean(why));
    if (why) box.setAttribute("aria-invalid", "true");
    else box.removeAttribute("aria-invalid");
    write(cell.querySelector("[data-off]"), why ? this.told(why) : off ? say("percent", { number: signed(off) }) : "");
  }

  told(why) {
    return why === "above" ? say("above-instrument", { highest: this.facts.highest.text }) : say("not-a-reading", { form: this.facts.form });
  }

  /** A figure in the unit that is read, never on the other side of a limit than it stands. */
  shown(figure, value) {
    const bounds = this.facts.limits.filter((limit) => limit.figure === figure)
      .flatMap((limit) => [limit.least, limit.most]).filter(Boolean)
      .map(({ text, factor }) => divide(decimal(text), fraction(...factor.map(BigInt))));
    return shownBeside(value, PERCENT.has(figure) ? 1 : this.facts.places, bounds);
  }

  drawFigures(found) {
    this.element.querySelectorAll("[data-figure]").forEach((place) => {
      const value = found[place.dataset.figure];
      const text = found.typed[place.dataset.figure] || (value ? this.shown(place.dataset.figure, value) : "–");
      write(place, value && PERCENT.has(place.dataset.figure) ? say("percent", { number: text }) : text);
    });
    const [code, missing] = [found.complete ? "from-all" : "so-far", found.all - found.read];
    write(this.element.querySelector("[data-heading]"), say(code, { read: found.read, all: found.all, unit: this.facts.unit }));
    write(this.element.querySelector("[data-missing]"), missing ? say(missing === 1 ? "one-missing" : "missing", { number: missing }) : say("none-missing"));
  }

  drawLimit(limit, index, found) {
    const row = this.element.querySelector(`[data-limit="${index}"]`);
    const outcome = says(limit, found, this.facts);
    const value = limit.live && found[limit.figure];
    const bounds = [limit.least, limit.most].filter(Boolean);
    const held = value && inUnitOf(bounds[0], value);
    const beside = bounds.filter((bound) => bound.unit === bounds[0].unit).map((bound) => decimal(bound.text));
    const typed = bounds[0]?.unit === this.facts.unit && found.typed[limit.figure];
    const now = value ? say("quantity", { number: typed || shownBeside(held, bounds[0].digits, beside), unit: bounds[0].unit }) : "–";
    write(row.querySelector("[data-now]"), now);
    if (row.dataset.says === outcome) return;
    row.dataset.says = outcome;
    const word = document.getElementById(`says-${outcome}`).content.cloneNode(true);
    row.querySelector("[data-says-now]").replaceChildren(word);
  }

  drawCauses(found) {
    const causes = this.element.parentElement.querySelector("[data-causes]");
    const low = this.facts.limits.some((limit) => limit.figure === "average" && found.average && side(limit, found.average, this.facts.rule) === "under");
    if (causes) causes.hidden = !(low && found.read * 2 >= found.all);
  }
}

if (form) {
  const blocks = [...form.querySelectorAll("[data-traverse]")].map((element) => new Block(element));
  const told = document.querySelector("[data-told]");
  const draw = () => {
    let [read, all] = [0, 0];
    for (const block of blocks) {
      const found = block.draw();
      if (block.element.getClientRects().length > 0) [read, all] = [read + found.read, all + found.all];
    }
    write(told, say("points", { read, all }));
    const progress = document.querySelector("[data-progress]");
    if (progress) { progress.max = all || 1; progress.value = read; }
  };
  form.addEventListener("input", draw);
  form.addEventListener("change", draw);
  form.addEventListener("refreshed", draw);
  if (blocks.length) draw();
}
