// Where lines of the author's file stand in the page, and the way there.

const MARK = "stavewright-mark";
const SHOWN = 4000;

export class Places {
  constructor(page) {
    this.read(page);
  }

  // Notes what each element says of its line, and takes the words out: a line that is written further
  // up moves all that follow, and none of them has changed.
  read(page) {
    const counts = new Map();
    this.list = [];
    for (const element of page.querySelectorAll("*")) {
      const name = element.localName;
      const count = counts.get(name) ?? 0;
      counts.set(name, count + 1);
      const line = element.getAttribute("data-line");
      if (line === null) continue;
      this.list.push({ line: Number(line), name, count });
      element.removeAttribute("data-line");
    }
  }

  // The element of `page`, a page that is made like the one that was read, for a line: the innermost
  // that begins there or last before.
  at(page, line) {
    let found = null;
    for (const place of this.list) {
      if (place.line <= line && (found === null || place.line >= found.line)) found = place;
    }
    return found && (page.getElementsByTagName(found.name)[found.count] ?? null);
  }

  // Brings an element into view and marks it for a while, without any motion. One that is in view
  // already is left alone: whoever types there sees it change.
  goTo(element, { always = false } = {}) {
    if (!element) return;
    const { top, bottom } = element.getBoundingClientRect();
    const room = innerHeight * 0.85;
    if (!always && top >= 0 && Math.min(bottom, top + 80) <= room) return;
    scrollBy({ top: top - innerHeight * 0.2, behavior: "instant" });
    this.marked?.classList.remove(MARK);
    this.marked = element;
    element.classList.add(MARK);
    setTimeout(() => element.classList.remove(MARK), SHOWN);
  }
}
