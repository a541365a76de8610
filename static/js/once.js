// Forms that sign or start: the second press of the same button does nothing.

document.querySelectorAll("form[data-once]").forEach((form) => {
  let sent = false;
  form.addEventListener("submit", (event) => {
    if (sent) { event.preventDefault(); return; }
    sent = true;
    const words = form.querySelector("[data-once-words]");
    if (words && form.dataset.once) words.textContent = form.dataset.once;
  });
  addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
});
