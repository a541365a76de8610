// A question about readings that were changed since it was asked waits: it is asked again, or gone, once they are kept.

import { say, write } from "./fields.js";

/** Whether what a question is about stands no longer; `texts` gives what stands at a point. */
export function isGone(about, texts) {
  return about.some(([place, stood]) => texts(place).filter((text) => text !== "").join(" ") !== stood.join(" "));
}

/** Mark the questions under a grid whose readings are gone, so that nobody answers for them. */
export function markGone(grid, texts) {
  for (const question of grid.querySelectorAll(".question[data-about]")) {
    const gone = isGone(JSON.parse(question.dataset.about), texts);
    question.toggleAttribute("data-waits", gone);
    for (const button of question.querySelectorAll("button")) button.disabled = gone;
    write(question.querySelector("[data-waits-words]"), gone ? say("asked-again") : "");
  }
}
