// Loads the page again when the site behind it has been built again, and stays at the same place.
"use strict";
(() => {
  const built = document.currentScript.dataset.build;
  const key = `stavewright-preview:${location.pathname}`;

  const kept = sessionStorage.getItem(key);
  sessionStorage.removeItem(key);
  if (kept !== null) {
    addEventListener("load", () => scrollTo({ top: Number(kept), behavior: "instant" }));
  }

  const events = new EventSource("/_preview/events");
  events.addEventListener("built", (event) => {
    if (event.data === built) return;
    events.close();
    sessionStorage.setItem(key, String(scrollY));
    location.reload();
  });
})();
