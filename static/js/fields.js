// The survey form, its boxes, and which of them still wait. Everything here does nothing where there is no survey form.

export const form = document.getElementById("survey");

const words = form ? JSON.parse(form.dataset.words) : {};

/** A sentence of the page, its places filled. */
export function say(code, values = {}) {
  return Object.entries(values).reduce((text, [name, value]) => text.replace(`%(${name})s`, value), words[code] ?? code);
}

/** The boxes and questions that a whole survey needs and that the page shows now, in its order. */
export function needed(within = form) {
  return [...within.querySelectorAll("[data-needed]")].filter((box) => box.getClientRects().length > 0);
}

/** Whether a box is filled, or one answer of a question chosen. */
export function answered(box) {
  const instead = box.dataset.instead && form.elements.namedItem(box.dataset.instead);
  if (instead && instead.value !== "") return true;
  return box.matches("fieldset") ? box.querySelector("input:checked") !== null : box.value !== "";
}

export const waiting = (within = form) => needed(within).filter((box) => !answered(box));

/** What of a box takes the focus. */
export const focusable = (box) => (box.matches("fieldset") ? box.querySelector("input") : box);

/** The box or question that an element belongs to. */
export const boxOf = (element) => element?.closest?.("[data-needed]") ?? null;

/** The first box that waits behind another in the order of the page; else the first that waits at all. */
export function nextWaiting(after) {
  const boxes = waiting().filter((box) => box !== after);
  const behind = boxes.find((box) => after && after.compareDocumentPosition(box) & Node.DOCUMENT_POSITION_FOLLOWING);
  return behind ?? boxes[0] ?? null;
}

/** Tell the other modules. */
export const tell = (name, detail = {}) => form.dispatchEvent(new CustomEvent(name, { detail }));

/** Set an element's words, if they are other ones: readers are not told twice. */
export function write(element, text) {
  if (element && element.textContent !== text) element.textContent = text;
}
