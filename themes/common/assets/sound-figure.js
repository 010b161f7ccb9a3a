// A figure's controls, and what lights up in its drawings.

import { heardAt, Lights } from "./sound-lights.js";
import { readScore, Transport } from "./sound-transport.js";

export function bindFigure(figure, stage) {
  const data = figure.querySelector("script.sound-data");
  const controls = figure.querySelector(".sound");
  if (!data || !controls) return;
  const play = controls.querySelector(".sound-play");
  const line = controls.querySelector(".sound-line span");
  let player = null;

  const stop = () => {
    if (!player) return;
    player.transport.stop();
    finish();
  };
  const finish = () => {
    player.lights.clear();
    player = null;
    controls.classList.remove("is-playing");
    line.style.transform = "";
    stage.leave(stop);
  };
  play.addEventListener("click", () => {
    if (player) return stop();
    stage.enter(stop);
    const output = stage.output();
    const score = readScore(JSON.parse(data.textContent));
    const find = finder(figure);
    const lights = new Lights(
      () => heardAt(output.context),
      (now) => { line.style.transform = `scaleX(${transport.progress(now).toFixed(4)})`; },
    );
    const transport = new Transport(output, score, {
      sounds: (moment, from, to) => lights.add(find(moment), from, to),
      ends: finish,
    });
    player = { transport, lights };
    settings(controls, transport);
    controls.classList.add("is-playing");
    transport.start();
    lights.add([], 0, 0);
  });
  for (const button of controls.querySelectorAll("[aria-pressed]")) {
    button.addEventListener("click", () => {
      button.setAttribute("aria-pressed", String(button.getAttribute("aria-pressed") !== "true"));
      if (player) settings(controls, player.transport);
    });
  }
  controls.addEventListener("input", () => {
    showPace(controls);
    if (player) settings(controls, player.transport);
  });
  controls.addEventListener("keydown", (event) => {
    if (event.key === "Escape") stop();
  });
  figure.addEventListener("stavewright:leaving", stop);
  showPace(controls);
  controls.hidden = false;
}

// What the controls say, told to the transport.
function settings(controls, transport) {
  const pressed = (name) => controls.querySelector(name)?.getAttribute("aria-pressed") === "true";
  transport.loops = pressed(".sound-loop");
  transport.counts = pressed(".sound-count");
  const pace = paceOf(controls);
  if (pace !== transport.pace) transport.setPace(pace);
  for (const box of controls.querySelectorAll(".sound-voices input")) {
    transport.setMuted(Number(box.value), !box.checked);
  }
}

const paceOf = (controls) => Number(controls.querySelector(".sound-pace input").value) / 100;

function showPace(controls) {
  const input = controls.querySelector(".sound-pace input");
  controls.querySelector(".sound-pace output").textContent = `${input.value} %`;
  input.setAttribute("aria-valuetext", `${input.value} percent`);
}

// From a sound to everything that stands for it: its notes by `data-id`, its key on a keyboard, its
// place on a neck or its row in a table by `data-key`, its pitch class by `data-class`. An element may
// stand for several, with a space between.
function finder(figure) {
  const found = new Map();
  for (const name of ["id", "key", "class"]) {
    for (const element of figure.querySelectorAll(`[data-${name}]`)) {
      for (const each of element.getAttribute(`data-${name}`).split(" ")) {
        const word = `${name} ${each}`;
        found.set(word, [...(found.get(word) ?? []), element]);
      }
    }
  }
  const written = (number) => String(Math.round(number * 100) / 100);
  return ({ kind, key, ids }) => {
    const words = ids.map((id) => `id ${id}`);
    if (kind === "hit") words.push(`key drum-${key}`);
    else if (typeof key === "string") words.push(`key ${key}`);
    else if (key === undefined) return words.flatMap((word) => found.get(word) ?? []);
    else if (!ids.length) return []; // Under a tune, or inside an ornament: drawn is something else.
    else words.push(`key ${written(key)}`, `class ${written(key % 12)}`);
    return words.flatMap((word) => found.get(word) ?? []);
  };
}
