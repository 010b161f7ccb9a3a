// The player: makes figures and claims heard, with the Web Audio API and nothing else.
//
// Nothing sounds before the reader asks. One thing sounds at a time. What sounds is in the page: a
// figure carries its notes as JSON (`script.sound-data`), a claim as `data-sound`. Controls are in
// the page too, hidden; they are shown here, so that a page without scripts has none that do nothing.

import { claimBinder } from "./sound-claims.js";
import { bindFigure } from "./sound-figure.js";
import { openOutput } from "./sound-synth.js";

let output = null;
let current = null;

const stage = {
  // The way to the loudspeaker; opened by the reader's first press, as browsers ask.
  output() {
    output ??= openOutput(new AudioContext({ latencyHint: "interactive" }));
    if (output.context.state !== "running") output.context.resume();
    return output;
  },
  // Whoever begins to play says how it is stopped; what played before is stopped now.
  enter(stop) {
    if (current && current !== stop) current();
    current = stop;
  },
  leave(stop) {
    if (current === stop) current = null;
  },
};

// A page that is left falls silent, also where the browser keeps it for the way back.
addEventListener("pagehide", () => current?.());

const bindClaim = claimBinder(document, stage);

// Makes everything in a part of the page work: figures, claims, buttons.
function bind(root) {
  const inside = (selector) => [
    ...(root.matches?.(selector) ? [root] : []),
    ...root.querySelectorAll(selector),
  ];
  if (typeof AudioContext === "function") {
    for (const figure of inside("figure.music")) bindFigure(figure, stage);
    for (const claim of inside(".claim[data-sound]")) bindClaim(claim);
  }
  for (const button of inside(".take-copy")) bindCopy(button);
}

function bindCopy(button) {
  if (!navigator.clipboard) return;
  const words = button.textContent;
  const text = button.closest(".take-home").querySelector("pre").textContent;
  button.hidden = false;
  button.addEventListener("click", async () => {
    await navigator.clipboard.writeText(text);
    button.textContent = button.dataset.done;
    setTimeout(() => { button.textContent = words; }, 2000);
  });
}

bind(document);

// A page may change while it is read, as the preview's do. What is new in it comes as
// `event.detail.added`; what is about to go hears `stavewright:leaving` by itself.
document.addEventListener("stavewright:patched", (event) => event.detail.added.forEach(bind));
