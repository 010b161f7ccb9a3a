// Claims in the text that can be heard: pressed, they sound and show their notes on a small card.

import { heardAt, Lights } from "./sound-lights.js";
import { readScore, Transport } from "./sound-transport.js";

const LOUDNESS = 71;

// Gives the function that makes one claim heard; one card is open at a time.
export function claimBinder(root, stage) {
  let open = null;
  const close = () => {
    open?.stop();
    open?.card.remove();
    open?.claim.setAttribute("aria-expanded", "false");
    open = null;
  };
  const press = (claim) => {
    const wasOpen = open?.claim === claim;
    close();
    if (!wasOpen) open = show(claim, stage);
  };
  root.addEventListener("keydown", (event) => {
    if (event.key === "Escape") close();
  });
  root.addEventListener("pointerdown", (event) => {
    if (open && !open.claim.contains(event.target) && !open.card.contains(event.target)) close();
  });
  // The text around an open card may have changed; the card stays under its claim.
  root.addEventListener("stavewright:patched", () => {
    if (open) place(open.card, open.claim.getClientRects());
  });
  addEventListener("resize", close);
  return (claim) => {
    // A link or a summary has a press of its own.
    if (claim.closest("a, button, summary, label")) return;
    claim.setAttribute("role", "button");
    claim.setAttribute("tabindex", "0");
    claim.setAttribute("aria-expanded", "false");
    claim.addEventListener("click", () => press(claim));
    claim.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      press(claim);
    });
    claim.addEventListener("stavewright:leaving", () => {
      if (open?.claim === claim) close();
    });
  };
}

// Plays a claim and opens its card; gives what closing needs.
function show(claim, stage) {
  const { notes = [], hits = [] } = JSON.parse(claim.dataset.sound);
  const { card, names } = makeCard(claim, notes, hits);
  const row = ([at, long, key], place) => [at, long, key, 0, LOUDNESS, `${place}`];
  const length = Math.max(...[...notes, ...hits].map(([at, long]) => at + long));
  const output = stage.output();
  const lights = new Lights(() => heardAt(output.context));
  const stop = () => {
    transport.stop();
    lights.clear();
    stage.leave(stop);
  };
  const transport = new Transport(output, readScore({ length, notes: notes.map(row), hits: hits.map(row) }), {
    sounds: (moment, from, to) => lights.add([names[moment.ids[0]]].filter(Boolean), from, to),
    // What has sounded fades by itself.
    ends: () => { lights.clear(); stage.leave(stop); },
  });
  stage.enter(stop);
  transport.start();
  claim.setAttribute("aria-expanded", "true");
  return { claim, card, stop };
}

// The notes in the order they are first heard, right after the claim, below its line; of a rhythm
// every value, though it comes again.
function makeCard(claim, notes, hits) {
  const card = document.createElement("span");
  card.className = "claim-card";
  card.setAttribute("role", "note");
  const write = (name) => {
    const note = document.createElement("span");
    note.textContent = name;
    if (card.childNodes.length) card.append(" ");
    card.append(note);
    return note;
  };
  const written = new Map();
  for (const [, , , name] of notes) {
    if (!written.has(name)) written.set(name, write(name));
  }
  const values = hits.map(([, , , name]) => (name ? write(name) : null));
  // A table scrolls in a box of its own, which would cut the card off.
  (claim.closest(".table") ?? claim).after(card);
  place(card, claim.getClientRects());
  return { card, names: hits.length ? values : notes.map(([, , , name]) => written.get(name)) };
}

// Below the last line of a claim, inside the screen, whatever box the card is placed in.
function place(card, lines) {
  const line = lines[lines.length - 1];
  card.style.left = "0";
  card.style.top = "0";
  const here = card.getBoundingClientRect();
  const room = document.documentElement.clientWidth - here.width - 8;
  card.style.left = `${Math.max(8, Math.min(line.left, room)) - here.left}px`;
  card.style.top = `${line.bottom + 6 - here.top}px`;
}
