// Which of the nodes that were there are which of those that are there now.

const FAR = 40_000;
const MEANS_THE_SAME = 0.35;
// Ids, and what points at them, hold a figure's number; that changes when another comes before it.
const NUMBERED = /\s(?:id|href|xlink:href|aria-[a-z]+|download|clip-path|mask|fill|style)="[^"]*"/g;
const HEARD_AND_SEEN = "script.sound-data, .view, .sound";

const drawings = new WeakMap();

export const isDrawing = (node) =>
  node.nodeType === Node.ELEMENT_NODE
  && node.matches("figure.music")
  && !node.classList.contains("stavewright-broken");

// Whether two figures look and sound alike, whatever their numbers and captions.
export function sameDrawing(one, other) {
  return isDrawing(one) && isDrawing(other) && drawn(one) === drawn(other);
}

function drawn(figure) {
  const known = drawings.get(figure);
  if (known !== undefined) return known;
  const parts = [...figure.querySelectorAll(HEARD_AND_SEEN)].map((part) => part.outerHTML);
  const text = parts.join("\n").replace(NUMBERED, "");
  drawings.set(figure, text);
  return text;
}

// For each node of `after` the index of its partner in `before`, or null; partners keep their order.
export function align(before, after) {
  if (before.length * after.length > FAR) return inTurn(before, after);
  const olds = before.map(described);
  const news = after.map(described);
  // best[i][j]: the most that partners among the nodes from i and from j on have in common.
  const best = Array.from({ length: olds.length + 1 }, () => new Float64Array(news.length + 1));
  const worth = olds.map((old) => news.map((fresh) => likeness(old, fresh)));
  for (let i = olds.length - 1; i >= 0; i -= 1) {
    for (let j = news.length - 1; j >= 0; j -= 1) {
      const together = worth[i][j] > 0 ? worth[i][j] + best[i + 1][j + 1] : 0;
      best[i][j] = Math.max(together, best[i + 1][j], best[i][j + 1]);
    }
  }
  const partners = news.map(() => null);
  for (let i = 0, j = 0; i < olds.length && j < news.length;) {
    if (worth[i][j] > 0 && best[i][j] === worth[i][j] + best[i + 1][j + 1]) partners[j++] = i++;
    else if (best[i][j] === best[i + 1][j]) i += 1;
    else j += 1;
  }
  return partners;
}

// A page of another kind altogether: the next of the same name will do.
function inTurn(before, after) {
  let place = 0;
  return after.map((node) => {
    const found = before.findIndex((old, index) => index >= place && old.nodeName === node.nodeName);
    if (found < 0) return null;
    place = found + 1;
    return found;
  });
}

function described(node) {
  const isElement = node.nodeType === Node.ELEMENT_NODE;
  return {
    node,
    isDrawing: isDrawing(node),
    id: isElement ? node.id : "",
    whole: isElement ? node.outerHTML : node.data,
    text: isElement ? node.textContent : node.data,
  };
}

// 0 for strangers, 4 for the same; what is alike in part is worth less than any two that are the same.
function likeness(old, fresh) {
  if (old.node.nodeName !== fresh.node.nodeName) return 0;
  if (old.whole === fresh.whole) return old.text?.trim() === "" && !old.id ? 0.5 : 4;
  if (old.isDrawing && fresh.isDrawing) return sameDrawing(old.node, fresh.node) ? 3 : 0.4;
  if (old.node.nodeType === Node.TEXT_NODE) return 0.3 + shared(old.text, fresh.text);
  if (old.id && old.id === fresh.id) return 2;
  if (old.id || fresh.id) return old.id && fresh.id ? 0 : 0.1;
  const alike = shared(old.text, fresh.text);
  if (alike >= MEANS_THE_SAME) return alike;
  return old.node.className === fresh.node.className ? 0.2 : 0.1;
}

// The share of two texts that stands alike at their beginnings and ends.
function shared(one, other) {
  const shorter = Math.min(one.length, other.length);
  if (!shorter) return one.length === other.length ? 1 : 0;
  let start = 0;
  while (start < shorter && one[start] === other[start]) start += 1;
  let end = 0;
  while (end < shorter - start && one[one.length - 1 - end] === other[other.length - 1 - end]) end += 1;
  return (start + end) / Math.max(one.length, other.length);
}
