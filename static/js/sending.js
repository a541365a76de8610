// Every button of the form: what is on the page is kept first, then the button does its work; once, however often it is pressed.

import { form, say, write } from "./fields.js";
import { refusal, save, unsent } from "./saving.js";

let leaving = false;

/** Send the form as a browser does, saying which button was pressed. */
function leave(button) {
  leaving = true;
  const pressed = document.createElement("input");
  Object.assign(pressed, { type: "hidden", name: button.name, value: button.value });
  form.append(pressed);
  HTMLFormElement.prototype.submit.call(form);
}

/** Whether a button that ends the survey was pressed before its reason was chosen; one chosen meanwhile would be no second press. */
function isWithoutReason(button) {
  const choice = button.closest("fieldset.choice");
  return choice && !choice.querySelector("input:checked");
}

async function onSubmit(event) {
  event.preventDefault();
  const button = event.submitter;
  if (leaving || !button?.name) return;
  if (isWithoutReason(button)) {
    write(document.querySelector("[data-stop-words]"), say("no-reason"));
    return;
  }
  leaving = true;
  const kept = await save();
  leaving = false;
  if (button.value === "keep") return;
  // What stops a hood goes through even where the rest of the page was refused; never to a server that does not answer.
  const reached = !["no-connection", "no-receipt", "signed-out"].includes(refusal());
  if (kept || (button.hasAttribute("data-always") && reached)) leave(button);
  else if (button.hasAttribute("data-always")) write(document.querySelector("[data-stop-words]"), say("not-stopped"));
}

if (form) {
  form.addEventListener("submit", onSubmit);
  addEventListener("beforeunload", (event) => { if (unsent() && !leaving) event.preventDefault(); });
  addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
}
