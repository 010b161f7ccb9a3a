// Keeps the page that is shown as the site is: hears of each build and brings in what changed.

import { Patcher } from "./patch.js";
import { Places } from "./places.js";
import { Scroll } from "./scroll.js";
import { bindPanel, follows, say, showCodes } from "./panel.js";

const PANEL = "stavewright-preview";
const ARRIVE = "stavewright-preview-arrive";
const AGAIN_SOON = 1000;
const AGAIN_LATER = 15_000;

const places = new Places(document);
const patcher = new Patcher(document);
const scroll = new Scroll();

let events = null;
let timer = null;
let isBusy = false;
let isStale = false;
let latest = null;

// As the server writes addresses, without the signs that stand for others.
const plain = (path) => {
  try {
    return decodeURIComponent(path);
  } catch {
    return path;
  }
};
// Whether this is no page of the site but one of the preview's.
const isOwn = () => document.body.classList.contains("stavewright-own");
const panel = () => document.getElementById(PANEL);

// A hidden page listens to nothing: browsers allow few connections, and it asks when it is shown.
function listen() {
  clearTimeout(timer);
  events?.close();
  events = null;
  if (document.hidden) return;
  const source = new EventSource(`/_preview/events?page=${encodeURIComponent(location.pathname)}`);
  events = source;
  source.addEventListener("built", (event) => hear(JSON.parse(event.data)));
  source.addEventListener("full", () => { source.close(); timer = setTimeout(listen, AGAIN_LATER); });
  source.addEventListener("error", () => {
    say("The preview does not answer. This page comes back by itself when it does.");
    if (source.readyState !== EventSource.CLOSED) return;
    timer = setTimeout(listen, AGAIN_SOON);
  });
}

function hear(news) {
  // While there is no site, the page stays as it was.
  if (!isOwn() && (news.number === 0 || news.problem)) {
    say(news.problem ?? "The site is being read again.");
    return;
  }
  say("");
  const before = latest;
  latest = news;
  freshen(news, before);
  const { edited } = news;
  if (news.moved) {
    // The article's file has another name now, and so has its page.
    const address = encodeURI(news.moved);
    scroll.keep(address);
    location.replace(address);
    return;
  }
  const isNew = edited && edited.build !== (before ?? shownNews()).edited?.build;
  if (isNew && follows() && edited.address !== plain(location.pathname)) {
    scroll.forget();
    sessionStorage.setItem(ARRIVE, String(edited.line));
    location.assign(encodeURI(edited.address));
    return;
  }
  if (news.page !== shownNews().page) update(isNew && follows());
}

// What the page itself says it was made from.
const shownNews = () => JSON.parse(panel().dataset.news);

async function update(goes = false) {
  if (isBusy) {
    isStale = true;
    return;
  }
  isBusy = true;
  try {
    do {
      isStale = false;
      const answer = await fetch(location.pathname, { cache: "no-store" });
      const text = await answer.text();
      if (answer.status >= 500 && !isOwn()) say(told(text));
      else show(text, goes);
    } while (isStale);
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    // The server went away; the stream of events tells when it is back.
  } finally {
    isBusy = false;
  }
}

const parsed = (text) => new DOMParser().parseFromString(text, "text/html");

// What a page says that came instead of ours.
const told = (text) => parsed(text).querySelector("main pre")?.textContent ?? "";

function show(text, goes) {
  const fresh = parsed(text);
  const next = fresh.getElementById(PANEL);
  if (next === null || scripts(fresh) !== scripts(patcher.sent)) {
    scroll.keep();
    location.reload();
    return;
  }
  const put = scroll.hold();
  places.read(fresh);
  const changed = patcher.apply(fresh);
  put();
  bindPanel(document);
  showCodes(document);
  const first = goes && changed.find((element) => element.closest("main"));
  if (first) places.goTo(first.closest("figure.music") ?? first);
}

// Scripts run once: where a page needs others, or others by the same name, it begins anew.
function scripts(page) {
  const named = [...page.querySelectorAll("script[src]")].map((script) => {
    const { pathname } = new URL(script.getAttribute("src"), location.href);
    return pathname.split("/").pop();
  });
  return `${page.getElementById(PANEL).dataset.scripts} ${named.join(" ")}`;
}

// Pictures and styles that kept their names and hold something else now.
function freshen({ files, build }, before) {
  if (before === null) return;
  const changed = new Set(files.filter(([, at]) => at > before.number).map(([address]) => address));
  if (!changed.size) return;
  for (const element of document.querySelectorAll("img[src], source[src], video[src], audio[src]")) {
    const address = new URL(element.src);
    if (!changed.has(plain(address.pathname))) continue;
    address.searchParams.set("build", build);
    element.src = address.href;
  }
}

// A link from the list of findings names a line; so does the way here by following.
function arrive() {
  const address = new URL(location.href);
  const line = address.searchParams.get("line") ?? sessionStorage.getItem(ARRIVE);
  sessionStorage.removeItem(ARRIVE);
  if (line === null) return;
  address.searchParams.delete("line");
  history.replaceState(history.state, "", address);
  go(Number(line));
}

// A place on the page that is open is gone to without leaving it.
function stay(event) {
  const link = event.target.closest?.(`#${PANEL} a[href*="?line="]`);
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
  const address = new URL(link.href);
  if (address.pathname !== location.pathname) return;
  event.preventDefault();
  go(Number(address.searchParams.get("line")));
}

function go(line) {
  scroll.forget();
  places.goTo(patcher.shown(places.at(patcher.sent, line)), { always: true });
}

bindPanel(document);
showCodes(document);
scroll.resume();
document.addEventListener("click", stay);
if (document.readyState === "complete") arrive();
else addEventListener("load", arrive, { once: true });
document.addEventListener("visibilitychange", listen);
addEventListener("resize", () => showCodes(document, { again: true }));
addEventListener("pageshow", (event) => { if (event.persisted) listen(); });
addEventListener("pagehide", () => events?.close());
listen();
