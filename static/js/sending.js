// Every button of the form: what is on the page is kept first, then the button does its work; once, however often it is pressed.

import { form, tell } from "./fields.js";
import { save, unsent } from "./saving.js";

let leaving = false;

/** Send the form as a browser does, saying which button was pressed. */
function leave(button) {
  leaving = true;
  const pressed = document.createElement("input");
  Object.assign(pressed, { type: "hidden", name: button.name, value: button.value });
  form.append(pressed);
  HTMLFormElement.prototype.submit.call(form);
}

async function onSubmit(event) {
  event.preventDefault();
  const button = event.submitter;
  if (leaving || !button?.name) return;
  leaving = true;
  const kept = await save();
  leaving = false;
  if (button.value === "keep") return;
  // A stop never waits for a connection that is good enough to keep the rest: the browser tries, and says so if it cannot.
  if (kept || button.hasAttribute("data-always")) leave(button);
  else tell("not-kept");
}

if (form) {
  form.addEventListener("submit", onSubmit);
  addEventListener("beforeunload", (event) => { if (unsent() && !leaving) event.preventDefault(); });
  addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
}
