// The sun button: pure black on white for reading outdoors, remembered on this device.
// Loaded in the head without defer, so that a page never flashes in the wrong theme.
"use strict";
(() => {
  const KEY = "halfpoint.theme";
  const root = document.documentElement;
  const stored = () => {
    try { return localStorage.getItem(KEY); } catch { return null; } // storage may be refused
  };
  const store = (on) => {
    try { on ? localStorage.setItem(KEY, "sun") : localStorage.removeItem(KEY); } catch { /* the theme then lasts one page */ }
  };
  const before = root.dataset.theme;
  const show = (on) => {
    if (on) root.dataset.theme = "sun";
    else if (before) root.dataset.theme = before;
    else delete root.dataset.theme;
  };
  if (stored() === "sun") show(true);
  document.addEventListener("DOMContentLoaded", () => {
    for (const button of document.querySelectorAll("[data-sun]")) {
      button.hidden = false;
      button.setAttribute("aria-pressed", String(root.dataset.theme === "sun"));
      button.addEventListener("click", () => {
        const on = root.dataset.theme !== "sun";
        show(on);
        store(on);
        button.setAttribute("aria-pressed", String(on));
      });
    }
  });
  window.addEventListener("beforeprint", () => {
    const now = new Intl.DateTimeFormat(root.lang || undefined, { dateStyle: "medium", timeStyle: "short" }).format(new Date());
    for (const slot of document.querySelectorAll("[data-printed]")) slot.textContent = now;
  });
})();
