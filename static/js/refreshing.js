// After a receipt, the parts that the server words (questions, errors, the provisional verdict) are drawn anew from its page.

import { form, tell } from "./fields.js";
import { unsent } from "./saving.js";

const SOON = 300; // [ms] so that a page that is being left asks for nothing
let typed = 0;

function take(fresh) {
  document.querySelectorAll("[data-refresh]").forEach((old) => {
    const part = fresh.getElementById(old.id);
    if (!part || old.contains(document.activeElement) || old.innerHTML === part.innerHTML) return;
    old.replaceChildren(...part.childNodes);
    for (const name of ["class", "hidden"]) {
      if (part.hasAttribute(name)) old.setAttribute(name, part.getAttribute(name));
      else old.removeAttribute(name);
    }
  });
}

/** Another instrument may read in another unit or to other digits: the grids follow it, at worst by a new page. */
function follow(fresh) {
  for (const grid of form.querySelectorAll("[data-traverse]")) {
    const newer = fresh.getElementById(grid.id)?.dataset.traverse;
    if (!newer || newer === grid.dataset.traverse) continue;
    if (JSON.parse(newer).unit !== JSON.parse(grid.dataset.traverse).unit) { location.reload(); return; }
    grid.dataset.traverse = newer;
  }
}

/** A box whose error appeared or went says so itself. */
function point() {
  form.querySelectorAll("[data-error-of]").forEach((place) => {
    const box = document.getElementById(place.dataset.errorOf);
    const wrong = place.textContent.trim() !== "";
    place.closest(".field")?.classList.toggle("wrong", wrong);
    if (wrong) box?.setAttribute("aria-invalid", "true");
    else box?.removeAttribute("aria-invalid");
  });
}

async function refresh() {
  const before = typed;
  await new Promise((soon) => { setTimeout(soon, SOON); });
  const answer = await fetch(form.dataset.page, { redirect: "manual", credentials: "same-origin", cache: "no-store" });
  if (!answer.ok || !(answer.headers.get("Content-Type") ?? "").startsWith("text/html")) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
  if (typed !== before || unsent()) return; // newer words stand on the page: the next receipt brings the next drawing
  take(fresh);
  follow(fresh);
  point();
  tell("refreshed");
}

if (form) {
  form.addEventListener("input", () => { typed += 1; });
  form.addEventListener("kept", () => refresh().catch(() => {}));
}
