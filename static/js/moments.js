// Every reading keeps the moment at which it was typed, by the tablet's clock.

import { form } from "./fields.js";

export const now = () => new Date().toISOString().replace(/\.\d+Z$/, "Z");

if (form) {
  form.addEventListener("input", (event) => {
    if (!event.target.matches("[data-point]") || event.detail?.undone) return;
    const moment = form.elements.namedItem(`${event.target.name}-at`);
    if (moment) moment.value = event.target.value === "" ? "" : now();
  });
}
