// Saving in the background: the same form, the same address. Nothing is shown as kept without its receipt.

import { form, say, tell, write } from "./fields.js";
import { now } from "./moments.js";

const REST = 10_000; // [ms] without a key before what was typed is sent
const LONGEST = 60_000; // [ms] between two tries
const line = document.querySelector("[data-kept]");
let changed = false; // something is on the page that no receipt covers
let sending = null;
let timer = 0;
let failed = 0;
let halted = false; // another window's save stands in the way: the person decides

let why = ""; // the last refusal, as a code

export const unsent = () => !halted && (changed || sending !== null);
export const refusal = () => why;

function show(code, values, kept = false) {
  line.dataset.state = kept ? "kept" : ["sending", "changed"].includes(code) ? "waiting" : "not-kept";
  write(line.querySelector("[data-kept-words]"), say(code, values));
}

const clock = (at) => new Date(at).toLocaleTimeString(document.documentElement.lang, { hour: "2-digit", minute: "2-digit", timeZone: form.dataset.zone });

/** The key against forged posts, fresh from its cookie: a sign-in in another window changes it. */
function key() {
  return /(?:^|; )csrftoken=([^;]+)/.exec(document.cookie)?.[1] ?? form.elements.csrfmiddlewaretoken.value;
}

async function post() {
  const body = new FormData(form);
  body.delete("csrfmiddlewaretoken");
  body.set("device_at", now());
  const answer = await fetch(form.action, {
    method: "POST", body, redirect: "manual", credentials: "same-origin", cache: "no-store",
    headers: { Accept: "application/json", "X-CSRFToken": key() }, signal: AbortSignal.timeout(20_000),
  });
  if (answer.type === "opaqueredirect" || answer.status === 401) return { refused: "signed-out" };
  if (!(answer.headers.get("Content-Type") ?? "").startsWith("application/json")) return { refused: "no-receipt" };
  const told = await answer.json();
  if (answer.ok && told.id === form.dataset.survey && Number.isInteger(told.revision) && told.sha256) return { receipt: told };
  if (answer.ok) return { refused: "no-receipt" }; // of another survey, or of nothing
  return { refused: answer.status === 409 ? "conflict" : "refused", told };
}

function take({ receipt, refused, told }) {
  why = refused ?? "";
  if (receipt) {
    failed = 0;
    form.elements.made_from.value = receipt.revision;
    show("kept-at", { time: clock(receipt.at) }, true);
    if (changed) show("changed");
    tell("kept", receipt);
    return true;
  }
  changed = true;
  show(refused, { why: told?.error ?? "" });
  halted = refused === "conflict";
  const link = document.querySelector("[data-conflict]");
  if (halted && link && told?.address) { link.href = told.address; link.hidden = false; }
  if (refused === "refused") mark(told?.boxes ?? {}); // the same again would be refused again
  else if (!halted) later();
  return false;
}

/** A box that cannot be kept as it stands says so. */
function mark(boxes) {
  for (const [name, said] of Object.entries(boxes)) {
    const [box, place] = [document.getElementById(name), document.getElementById(`${name}-e`)];
    box?.setAttribute("aria-invalid", "true");
    box?.closest(".field")?.classList.add("wrong");
    if (place) write(place, said);
  }
}

/** Send what is on the page; true once its receipt is here. */
export function save() {
  clearTimeout(timer);
  if (halted) return Promise.resolve(false); // `refusal` says why
  if (sending) return sending.then(() => (changed ? save() : true));
  changed = false;
  show("sending");
  sending = post().catch(() => ({ refused: "no-connection" })).then(take).finally(() => { sending = null; });
  return sending;
}

function later() {
  clearTimeout(timer);
  failed += 1;
  timer = setTimeout(save, Math.min(LONGEST, 1000 * 2 ** failed) * (0.75 + Math.random() / 2));
}

function rest() {
  changed = true;
  if (failed || halted) return;
  show("changed");
  clearTimeout(timer);
  timer = setTimeout(save, REST);
}

if (form) {
  form.addEventListener("input", rest);
  form.addEventListener("change", (event) => { if (event.target.dataset.now !== undefined) save(); });
  form.addEventListener("save-now", () => { if (changed) save(); });
  form.addEventListener("focusout", (event) => {
    const part = event.target.closest(".part");
    if (changed && !failed && part && event.relatedTarget && !part.contains(event.relatedTarget)) save();
  });
  addEventListener("online", () => { if (changed) save(); });
}
