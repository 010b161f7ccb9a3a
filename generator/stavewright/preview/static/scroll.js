// Keeps the reader's place while the page around it changes.

const KEY = "stavewright-preview-scroll";

export class Scroll {
  constructor() {
    // Where the page was to be. A save cut in half makes it short for a moment: until the place can
    // be reached again, or the reader moves, it is not forgotten.
    this.wanted = null;
    for (const move of ["wheel", "touchmove", "keydown", "pointerdown"]) {
      addEventListener(move, () => this.forget(), { passive: true });
    }
  }

  forget() {
    this.wanted = null;
  }

  // To be called before a change; what it gives is to be called after.
  hold() {
    const from = scrollY;
    const wanted = this.wanted ?? from;
    const anchor = this.wanted === null && from > 0 ? this.#firstInView() : null;
    const top = anchor?.getBoundingClientRect().top;
    return () => {
      if (anchor?.isConnected) {
        scrollBy({ top: anchor.getBoundingClientRect().top - top, behavior: "instant" });
        return;
      }
      if (wanted === 0) return;
      scrollTo({ top: wanted, behavior: "instant" });
      this.wanted = Math.abs(scrollY - wanted) > 1 ? wanted : null;
    };
  }

  // Over a reload.
  keep(path = location.pathname) {
    sessionStorage.setItem(KEY, `${path} ${this.wanted ?? scrollY}`);
  }

  resume() {
    const [path, place] = (sessionStorage.getItem(KEY) ?? "").split(" ");
    sessionStorage.removeItem(KEY);
    if (path !== location.pathname) return;
    this.wanted = Number(place);
    const go = () => {
      if (this.wanted === null) return;
      scrollTo({ top: this.wanted, behavior: "instant" });
      if (Math.abs(scrollY - this.wanted) <= 1) this.wanted = null;
    };
    go();
    addEventListener("load", go, { once: true });
  }

  // The first paragraph, figure or heading whose beginning can be seen.
  #firstInView() {
    for (const element of document.querySelectorAll("main :is(p, figure, h1, h2, h3, h4, li, tr, pre, dt, dd)")) {
      const { top, bottom } = element.getBoundingClientRect();
      if (bottom > top && (top >= 0 || bottom > innerHeight)) return element;
    }
    return null;
  }
}
