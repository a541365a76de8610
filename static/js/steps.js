// A step is ticked when everything it asks is answered; the step that is on the screen is marked.

import { boxOf, form, needed, say, waiting, write } from "./fields.js";

function tick(link) {
  const part = document.querySelector(link.getAttribute("href"));
  if (!part || !part.hasAttribute("data-asks")) return;
  const wrong = part.querySelector("[aria-invalid=true]") !== null;
  const ready = [...document.querySelectorAll(part.dataset.after ?? "no-such-part")].every((before) => !waiting(before).length);
  const done = !wrong && ready && needed(part).length > 0 && waiting(part).length === 0;
  link.querySelector("[data-tick]").hidden = !done;
  link.querySelector("[data-cross]").hidden = !wrong;
  write(link.querySelector("[data-done]"), wrong ? say("wrong") : done ? say("done") : "");
}

function mark() {
  const part = boxOf(document.activeElement)?.closest(".part");
  if (!part) return;
  document.querySelectorAll("[data-step]").forEach((link) => {
    if (link.getAttribute("href") === `#${part.id}`) link.setAttribute("aria-current", "step");
    else link.removeAttribute("aria-current");
  });
}

if (form) {
  const draw = () => document.querySelectorAll("[data-step]").forEach(tick);
  form.addEventListener("input", draw);
  form.addEventListener("refreshed", () => { draw(); mark(); });
  form.addEventListener("focusin", mark);
  draw();
}
