// Undo of the last change: back to what stood in the box, and its moment; then the change before it.

import { form, say, write } from "./fields.js";

const button = document.querySelector("[data-undo]");
const changes = [];
const held = new Map(); // name -> what stood there when it was last left

const momentOf = (name) => form.elements.namedItem(`${name}-at`);
const now = (name) => ({ value: form.elements.namedItem(name)?.value ?? "", moment: momentOf(name)?.value ?? "" });
const isAsked = (box) => box.name && box.type !== "hidden" && box.type !== "submit" && !box.name.startsWith("stop_");

function hold() {
  [...form.elements].filter(isAsked).forEach((box) => held.set(box.name, now(box.name)));
}

function show() {
  const last = changes.at(-1);
  write(button?.querySelector("[data-undo-words]"), last?.label ? say("undo-of", { place: last.label }) : say("undo"));
}

function note(box) {
  const old = held.get(box.name) ?? { value: "", moment: "" };
  if (old.value === now(box.name).value) return;
  changes.push({ name: box.name, label: box.closest("[data-needed]")?.dataset.needed ?? "", ...old });
  held.set(box.name, now(box.name));
  show();
}

function restore({ name, value, moment }) {
  const boxes = form.elements.namedItem(name);
  const group = boxes instanceof RadioNodeList ? [...boxes] : null;
  if (group) group.forEach((radio) => { radio.checked = radio.value === value; });
  else boxes.value = value;
  if (momentOf(name)) momentOf(name).value = moment;
  held.set(name, { value, moment });
  const box = group ? group.find((radio) => radio.checked) ?? group[0] : boxes;
  box.focus();
  box.dispatchEvent(new CustomEvent("input", { bubbles: true, detail: { undone: true } }));
}

if (form) {
  hold();
  form.addEventListener("change", (event) => { if (isAsked(event.target)) note(event.target); });
  form.addEventListener("refreshed", () => [...form.elements].filter((box) => isAsked(box) && !held.has(box.name)).forEach((box) => held.set(box.name, now(box.name))));
  button?.addEventListener("click", (event) => {
    if (!changes.length) return; // sent: the server takes back the last save
    event.preventDefault();
    restore(changes.pop());
    show();
  });
}
