// Tones and percussion, made from oscillators and noise. Works in an OfflineAudioContext as well.
//
// How everything sounds is one table, which the sound of clips is rendered from as well; the build
// writes it out as this module.

import { RECIPE } from "./sound-recipe.js";

const HARMONICS = [0, ...RECIPE.tone.harmonics];

export function openOutput(context) {
  const master = context.createGain();
  master.gain.value = RECIPE.output.master;
  const limiter = context.createDynamicsCompressor();
  for (const [name, value] of Object.entries(RECIPE.output.limiter)) limiter[name].value = value;
  const level = context.createGain();
  level.gain.value = RECIPE.output.level;
  master.connect(limiter).connect(level).connect(context.destination);
  const wave = context.createPeriodicWave(
    new Float32Array(HARMONICS.length),
    Float32Array.from(HARMONICS),
  );
  return { context, input: master, wave, noise: makeNoise(context) };
}

// A tone: exact in frequency, fading a little while it is held. Gives a function that ends it early.
export function playTone(output, { when, length, hertz, loudness }) {
  const { context } = output;
  const { attack, held, fade, release, shortest } = RECIPE.tone;
  const peak = peakOf(RECIPE.tone, loudness);
  const end = when + Math.max(length, shortest);
  const source = context.createOscillator();
  source.setPeriodicWave(output.wave);
  source.frequency.value = hertz;
  const gain = context.createGain();
  gain.gain.setValueAtTime(0, when);
  gain.gain.linearRampToValueAtTime(peak, when + attack);
  gain.gain.setTargetAtTime(peak * held, when + attack, fade);
  gain.gain.setTargetAtTime(0, end, release / 4);
  source.connect(gain).connect(output.input);
  source.start(when);
  source.stop(end + 2 * release);
  return ending(context, gain, [source]);
}

// Percussion by its number in General MIDI's map: a falling tone, filtered noise, or both.
export function playHit(output, { when, key, loudness }) {
  const { context } = output;
  const { tone, noise } = RECIPE.percussion[key] ?? RECIPE.plain;
  const peak = peakOf(RECIPE.hit, loudness);
  const gain = context.createGain();
  gain.connect(output.input);
  const sources = [];
  if (tone) {
    const [from, to, seconds] = tone;
    const source = context.createOscillator();
    source.frequency.setValueAtTime(from, when);
    source.frequency.exponentialRampToValueAtTime(to, when + seconds / 2);
    source.connect(fading(context, when, peak, seconds)).connect(gain);
    source.start(when);
    source.stop(when + seconds + 0.02);
    sources.push(source);
  }
  if (noise) {
    const [kind, hertz, seconds, share] = noise;
    const source = context.createBufferSource();
    source.buffer = output.noise;
    source.loop = true;
    const filter = context.createBiquadFilter();
    filter.type = kind;
    filter.frequency.value = hertz;
    source.connect(filter).connect(fading(context, when, peak * share * RECIPE.hit.noise, seconds)).connect(gain);
    source.start(when);
    source.stop(when + seconds + 0.02);
    sources.push(source);
  }
  return ending(context, gain, sources);
}

// One beat of the metre, the first of a bar higher.
export function playBeat(output, { when, isFirst }) {
  const { context } = output;
  const [hertz, peak] = isFirst ? RECIPE.beat.first : RECIPE.beat.other;
  const source = context.createOscillator();
  source.type = "triangle";
  source.frequency.value = hertz;
  const gain = fading(context, when, peak, RECIPE.beat.seconds);
  source.connect(gain).connect(output.input);
  source.start(when);
  source.stop(when + 0.07);
  return ending(context, gain, [source]);
}

export const hertzOf = (key, a4) => a4 * 2 ** ((key - 69) / 12);

const peakOf = ({ peak, curve }, loudness) => peak * (loudness / 127) ** curve;

function fading(context, when, peak, seconds) {
  const { attack, floor } = RECIPE.hit;
  const gain = context.createGain();
  gain.gain.setValueAtTime(0, when);
  gain.gain.linearRampToValueAtTime(peak, when + attack);
  gain.gain.exponentialRampToValueAtTime(Math.max(peak * floor, 1e-6), when + seconds);
  return gain;
}

function ending(context, gain, sources) {
  return () => {
    const now = context.currentTime;
    gain.gain.cancelScheduledValues(now);
    gain.gain.setTargetAtTime(0, now, 0.012);
    for (const source of sources) source.stop(now + 0.08);
  };
}

// A second of noise, the same each time, so that a figure always sounds alike.
function makeNoise(context) {
  const buffer = context.createBuffer(1, context.sampleRate, context.sampleRate);
  const samples = buffer.getChannelData(0);
  let state = 22222;
  for (let at = 0; at < samples.length; at += 1) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    samples[at] = state / 2147483648 - 1;
  }
  return buffer;
}
