// Loads the page again when the site behind it has been built again, and stays at the same place.
"use strict";
(() => {
  const built = document.currentScript.dataset.build;
  const key = `stavewright-preview:${location.pathname}`;

  // Where the page was to be. A build may come while it is still loading, or show it cut short in
  // the middle of a save; until the place is reached, or the reader moves, it is not forgotten.
  let wanted = sessionStorage.getItem(key);
  sessionStorage.removeItem(key);
  if (wanted !== null) {
    // The browser's own memory may be of a page that had not come so far.
    history.scrollRestoration = "manual";
    addEventListener("pagehide", () => (history.scrollRestoration = "auto"));
    addEventListener("load", () => {
      if (wanted === null) return;
      scrollTo({ top: Number(wanted), behavior: "instant" });
      if (Math.abs(scrollY - wanted) < 1) wanted = null;
    });
    for (const move of ["wheel", "touchmove", "keydown", "pointerdown"]) {
      addEventListener(move, () => (wanted = null), { passive: true });
    }
  }

  // A panel that its reader has closed stays closed, whatever the next build finds.
  const panel = document.querySelector(".stavewright-preview details");
  const closed = "stavewright-preview-closed";
  if (panel !== null) {
    if (sessionStorage.getItem(closed) !== null) panel.open = false;
    // On the click, which comes before the change: `toggle` comes later, perhaps after a reload.
    panel.querySelector("summary").addEventListener("click", () => {
      if (panel.open) sessionStorage.setItem(closed, "yes");
      else sessionStorage.removeItem(closed);
    });
  }

  const events = new EventSource("/_preview/events");
  events.addEventListener("built", (event) => {
    if (event.data === built) return;
    events.close();
    // Not yet: until the new page comes, this one may be scrolled.
    addEventListener("pagehide", () => {
      const place = wanted ?? String(scrollY);
      if (place !== "0") sessionStorage.setItem(key, place);
    });
    location.reload();
  });
})();
