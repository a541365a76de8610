// A button that prints the page. Without script the page says that printing it is enough, and the button stays away.
for (const button of document.querySelectorAll("[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
