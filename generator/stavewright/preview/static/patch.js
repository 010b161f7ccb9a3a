// Makes the page that is shown into the page that the server has now, touching only what differs.
//
// What the server sent last is kept aside as it was sent. A difference between that and what it sends
// now is carried out in the page; whatever else is in the page - a figure that plays, an open card,
// words that are selected - was put there by the reader or the page's own scripts and stays.

import { align, isDrawing, sameDrawing } from "./align.js";

const LEAVING = "stavewright:leaving";
const PATCHED = "stavewright:patched";

export class Patcher {
  constructor(page) {
    this.page = page;
    this.twins = new WeakMap();
    this.sent = page.cloneNode(true);
    this.#pair(this.sent, page);
  }

  // What stands in the page for a node of what was sent.
  shown(node) {
    return this.twins.get(node);
  }

  // Gives what is new or changed in the page: elements, in its order.
  apply(fresh) {
    this.added = [];
    this.changed = new Set();
    this.#element(this.sent.documentElement, fresh.documentElement);
    const detail = { added: this.added.filter((element) => element.isConnected) };
    this.page.dispatchEvent(new CustomEvent(PATCHED, { detail }));
    return [...this.changed].filter((element) => element.isConnected);
  }

  #pair(node, shown) {
    this.twins.set(node, shown);
    let other = shown.firstChild;
    for (let child = node.firstChild; child && other; child = child.nextSibling) {
      this.#pair(child, other);
      other = other.nextSibling;
    }
  }

  #element(old, fresh) {
    this.#attributes(old, fresh);
    this.#children(old, fresh);
  }

  #attributes(old, fresh) {
    const shown = this.shown(old);
    if (isStyle(old) && old.getAttribute("href") !== fresh.getAttribute("href")) {
      this.#swapStyle(old, shown, fresh);
      return;
    }
    for (const { name } of [...old.attributes]) {
      if (fresh.hasAttribute(name)) continue;
      old.removeAttribute(name);
      shown.removeAttribute(name);
    }
    for (const { namespaceURI, name, value } of fresh.attributes) {
      if (old.getAttribute(name) === value) continue;
      old.setAttributeNS(namespaceURI, name, value);
      shown.setAttributeNS(namespaceURI, name, value);
    }
  }

  // The old style holds until the new one has come: no moment without any.
  #swapStyle(old, shown, fresh) {
    const next = this.page.importNode(fresh, true);
    const drop = () => shown.remove();
    next.addEventListener("load", drop, { once: true });
    next.addEventListener("error", drop, { once: true });
    shown.after(next);
    for (const { name, value } of fresh.attributes) old.setAttribute(name, value);
    this.twins.set(old, next);
  }

  #children(old, fresh) {
    const before = [...old.childNodes];
    const after = [...fresh.childNodes];
    let start = 0;
    const shorter = Math.min(before.length, after.length);
    while (start < shorter && before[start].isEqualNode(after[start])) start += 1;
    let end = 0;
    while (
      end < shorter - start
      && before[before.length - 1 - end].isEqualNode(after[after.length - 1 - end])
    ) end += 1;
    const middle = before.slice(start, before.length - end);
    const wanted = after.slice(start, after.length - end);
    if (middle.length || wanted.length) {
      this.#middle(old, middle, wanted, before[before.length - end] ?? null);
    }
  }

  // `next` is what follows the changed stretch.
  #middle(parent, before, after, next) {
    const partners = align(before, after);
    let place = 0;
    after.forEach((node, index) => {
      const partner = partners[index];
      if (partner === null) {
        this.#insert(parent, node, before[place] ?? next);
        return;
      }
      while (place < partner) this.#remove(before[place++]);
      this.#node(before[place++], node);
    });
    while (place < before.length) this.#remove(before[place++]);
    if (before.length > after.length) this.#noteGap(parent, next);
  }

  #node(old, fresh) {
    if (old.isEqualNode(fresh)) return;
    if (old.nodeType !== Node.ELEMENT_NODE) {
      this.#text(old, fresh);
    } else if (old.localName !== fresh.localName || !isPatchable(old, fresh)) {
      this.#insert(old.parentNode, fresh, old);
      this.#remove(old);
    } else {
      this.#element(old, fresh);
    }
  }

  // Only the letters that differ are replaced, so that a selection in the others holds.
  #text(old, fresh) {
    const shown = this.shown(old);
    const [was, is] = [old.data, fresh.data];
    if (shown.data === was) {
      let start = 0;
      const shorter = Math.min(was.length, is.length);
      while (start < shorter && was[start] === is[start]) start += 1;
      let end = 0;
      while (end < shorter - start && was[was.length - 1 - end] === is[is.length - 1 - end]) end += 1;
      shown.replaceData(start, was.length - start - end, is.slice(start, is.length - end));
    } else {
      shown.data = is;
    }
    old.data = is;
    this.#note(old.parentNode);
  }

  #insert(parent, fresh, next) {
    const place = next && this.shown(next);
    const shown = this.page.importNode(fresh, true);
    parent.insertBefore(fresh, next);
    this.#pair(fresh, shown);
    const home = this.shown(parent);
    home.insertBefore(shown, place?.parentNode === home ? place : null);
    if (shown.nodeType !== Node.ELEMENT_NODE) return;
    this.added.push(shown);
    this.changed.add(shown);
  }

  #remove(old) {
    const shown = this.shown(old);
    if (shown.nodeType === Node.ELEMENT_NODE) {
      for (const element of [shown, ...shown.querySelectorAll("figure, .claim")]) {
        element.dispatchEvent(new Event(LEAVING));
      }
    }
    old.remove();
    shown.remove();
  }

  // Where something is gone, what stands there now has changed: the whole around it may be the page.
  #noteGap(parent, next) {
    const element = (node) => node?.nodeType === Node.ELEMENT_NODE;
    let place = next;
    while (place && !element(place)) place = place.nextSibling;
    if (place === null) {
      place = next ? next.previousSibling : parent.lastChild;
      while (place && !element(place)) place = place.previousSibling;
    }
    this.#note(place ?? parent);
  }

  #note(node) {
    const shown = this.shown(node);
    if (shown?.nodeType === Node.ELEMENT_NODE) this.changed.add(shown);
  }
}

const isStyle = (element) => element.localName === "link" && element.rel === "stylesheet";

// A drawing is replaced whole: what plays it holds on to its parts. So is what runs when it comes.
function isPatchable(old, fresh) {
  if (old.localName === "script" || old.localName === "style") return false;
  if (old.localName === "link" && old.rel !== fresh.rel) return false;
  return isDrawing(old) || isDrawing(fresh) ? sameDrawing(old, fresh) : true;
}
