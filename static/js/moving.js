// Enter and Next go on to the next box that waits; the next point has the heaviest frame. Nothing moves by itself.

import { answered, boxOf, focusable, form, nextWaiting, say, write } from "./fields.js";

const button = document.querySelector("[data-next]");
let last = null; // the box that had the focus last

function goTo(box) {
  const target = focusable(box);
  target.focus({ preventScroll: true });
  box.scrollIntoView({ block: "center" });
  if (target.matches("input[inputmode]")) target.select();
}

function finishRow(box, next) {
  const row = box.closest("tr");
  if (row && box.matches("[data-point]") && (!next || next.closest("tr") !== row)) {
    form.dispatchEvent(new CustomEvent("save-now"));
  }
}

/** Where Enter leads from a box of text: the next that waits, or the next box at all. */
function behind(box) {
  const next = nextWaiting(box);
  if (next && box.compareDocumentPosition(next) & Node.DOCUMENT_POSITION_FOLLOWING) return next;
  return null;
}

function onEnter(event) {
  const box = event.target;
  if (event.key !== "Enter" || event.isComposing || !box.matches("input[type=text], input:not([type]), input[type=radio], select")) return;
  event.preventDefault();
  const drawing = box.dataset.draws === undefined ? null : undrawn(box);
  if (drawing) { form.requestSubmit(drawing.querySelector("[data-draw-button]")); return; } // the server draws the grid
  const held = boxOf(box) ?? box;
  const next = behind(held);
  finishRow(held, next);
  if (next) goTo(next);
  else button?.focus();
}

/** Where Next leads: behind the box that has the focus; back to the one that was left empty, unless Next itself left it. */
function ahead() {
  const current = boxOf(document.activeElement);
  if (!current && document.activeElement !== button && last?.isConnected && !answered(last)) return last;
  return nextWaiting(current ?? last);
}

function mark() {
  const current = boxOf(document.activeElement);
  const next = ahead();
  const here = current && !answered(current) ? current : next;
  form.querySelectorAll(".cell.here").forEach((cell) => { if (!here || !cell.contains(here)) cell.classList.remove("here"); });
  if (here?.matches("[data-point]")) here.closest(".cell").classList.add("here");
  write(button?.querySelector("[data-next-words]"), next ? say("next", { place: next.dataset.needed }) : say("review"));
  if (button) button.value = next ? "next" : "review";
}

function onNext(event) {
  const next = ahead();
  if (!next) return; // sent: the review is a page of its own
  event.preventDefault();
  const drawing = undrawn(last);
  if (drawing) { form.requestSubmit(drawing.querySelector("[data-draw-button]")); return; }
  if (last) finishRow(last, next);
  goTo(next);
}

/** The opening around a box, if it was measured otherwise than its grid was drawn for. */
function undrawn(box) {
  const drawing = box?.closest("[data-draw]");
  const sizes = drawing ? [...drawing.querySelectorAll("[data-draws]")].map((size) => size.value) : [];
  return drawing && !sizes.includes("") && drawing.dataset.draw !== sizes.join("|") ? drawing : null;
}

if (form) {
  form.addEventListener("keydown", onEnter);
  form.addEventListener("focusin", (event) => { last = boxOf(event.target) ?? last; mark(); });
  form.addEventListener("input", mark);
  document.querySelector(".bar")?.addEventListener("focusin", (event) => { if (event.target !== button) mark(); });
  document.querySelector(".halt .panel")?.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target.matches("input")) event.preventDefault(); // a stop is pressed, never slipped into
  });
  form.addEventListener("refreshed", mark);
  button?.addEventListener("click", onNext);
  mark();
}
