// The panel at the foot of the page: what its reader chose, kept for as long as the tab is open.

const FOLLOW = "stavewright-preview-follow";
const MARGIN = 24;
const OPEN = "stavewright-preview-open";

const bound = new WeakSet();

export const follows = () => sessionStorage.getItem(FOLLOW) !== null;

// Says something in the panel's own line; nothing is said twice.
export function say(words) {
  const line = document.querySelector(".stavewright-preview .status");
  if (line && line.textContent !== words) line.textContent = words;
}

// A panel that a change of page has replaced is bound again.
export function bindPanel(page) {
  const box = page.querySelector(".stavewright-preview .follow input");
  if (box && !bound.has(box)) {
    bound.add(box);
    box.checked = follows();
    box.closest(".follow").hidden = false;
    box.addEventListener("change", () => remember(FOLLOW, box.checked));
  }
  const list = page.querySelector(".stavewright-preview details");
  if (list && !bound.has(list)) {
    bound.add(list);
    list.open = sessionStorage.getItem(OPEN) !== null;
    list.addEventListener("toggle", () => remember(OPEN, list.open));
  }
}

function remember(key, isSo) {
  if (isSo) sessionStorage.setItem(key, "yes");
  else sessionStorage.removeItem(key);
}

// A block as it is written may be wider than the column of text, up to the edge of the window.
function widen(page) {
  const edge = page.documentElement.clientWidth - MARGIN;
  for (const block of page.querySelectorAll(".stavewright-source")) {
    const room = edge - block.getBoundingClientRect().left;
    block.style.setProperty("--stavewright-room", `${Math.max(0, Math.floor(room))}px`);
  }
}

// A long line of a block begins where its fault can be seen.
export function showCodes(page, { again = false } = {}) {
  widen(page);
  for (const code of page.querySelectorAll(".stavewright-code")) {
    const mark = code.querySelector("mark");
    if (!mark || (code.scrollLeft && !again) || code.scrollWidth <= code.clientWidth) continue;
    const end = mark.offsetLeft + mark.offsetWidth;
    const room = code.clientWidth;
    // No further than needed: the line's own beginning says which voice it is.
    const least = Math.min(end - room * 0.85, mark.offsetLeft - room / 3);
    if (end > room * 0.95) code.scrollLeft = least;
  }
}
