// Tones and percussion, made from oscillators and noise. Works in an OfflineAudioContext as well.

// Loudness of the harmonics of a tone: soft, with no edge to tire the ear.
const HARMONICS = [0, 1, 0.36, 0.22, 0.09, 0.06, 0.03, 0.015];
const ATTACK = 0.008;
const RELEASE = 0.07;
// Everything together stays well below full; the reader turns it up, never down in a hurry.
const MASTER = 0.3;
// The limiter raises what it lets through; this takes it back.
const LEVEL = 0.7;

export function openOutput(context) {
  const master = context.createGain();
  master.gain.value = MASTER;
  const limiter = context.createDynamicsCompressor();
  limiter.threshold.value = -14;
  limiter.knee.value = 6;
  limiter.ratio.value = 20;
  limiter.attack.value = 0.002;
  limiter.release.value = 0.15;
  const level = context.createGain();
  level.gain.value = LEVEL;
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
  const peak = 0.5 * (loudness / 127) ** 1.6;
  const end = Math.max(when + length, when + 0.03);
  const source = context.createOscillator();
  source.setPeriodicWave(output.wave);
  source.frequency.value = hertz;
  const gain = context.createGain();
  gain.gain.setValueAtTime(0, when);
  gain.gain.linearRampToValueAtTime(peak, when + ATTACK);
  gain.gain.setTargetAtTime(peak * 0.45, when + ATTACK, 0.5);
  gain.gain.setTargetAtTime(0, end, RELEASE / 4);
  source.connect(gain).connect(output.input);
  source.start(when);
  source.stop(end + 2 * RELEASE);
  return ending(context, gain, [source]);
}

// Percussion by its number in General MIDI's map. `[from, to, seconds]` is a falling tone in hertz,
// `noise` what is added: the filter's kind and frequency, seconds, and its share.
const drum = (from, to, seconds, noise) => ({ tone: [from, to, seconds], noise });
const rattle = (kind, hertz, seconds, share = 1) => ({ noise: [kind, hertz, seconds, share] });
const SNARE = ["highpass", 1800, 0.16, 0.8];
const PERCUSSION = {
  35: drum(120, 42, 0.3), 36: drum(150, 48, 0.24),
  37: drum(1750, 1600, 0.03, ["bandpass", 2500, 0.02, 0.5]),
  38: drum(220, 160, 0.11, SNARE), 39: rattle("bandpass", 1400, 0.12, 1.4), 40: drum(260, 190, 0.09, SNARE),
  41: drum(110, 75, 0.35), 43: drum(130, 90, 0.33), 45: drum(160, 110, 0.3),
  47: drum(190, 135, 0.28), 48: drum(225, 160, 0.26), 50: drum(265, 190, 0.24),
  42: rattle("highpass", 7500, 0.05), 44: rattle("highpass", 6500, 0.07, 0.8), 46: rattle("highpass", 7000, 0.4),
  49: rattle("highpass", 4500, 1.4), 52: rattle("highpass", 3500, 1.1), 55: rattle("highpass", 5500, 0.7), 57: rattle("highpass", 4000, 1.4),
  51: drum(3150, 3150, 0.5, ["highpass", 6500, 0.5, 0.4]), 53: drum(2100, 2100, 0.6), 59: drum(2900, 2900, 0.5, ["highpass", 6000, 0.5, 0.4]),
  54: rattle("highpass", 8500, 0.18), 56: drum(810, 800, 0.16), 58: rattle("bandpass", 2400, 0.5, 0.8),
  60: drum(420, 380, 0.12), 61: drum(310, 280, 0.14), 62: drum(380, 360, 0.06), 63: drum(300, 280, 0.18), 64: drum(220, 200, 0.2),
  65: drum(480, 430, 0.2), 66: drum(360, 320, 0.22), 67: drum(1500, 1490, 0.25), 68: drum(1120, 1110, 0.25),
  69: rattle("highpass", 6000, 0.09, 0.8), 70: rattle("highpass", 7000, 0.06, 0.8),
  71: drum(2300, 2300, 0.15), 72: drum(2300, 2250, 0.5), 73: rattle("bandpass", 3200, 0.1), 74: rattle("bandpass", 3200, 0.35),
  75: drum(2500, 2480, 0.05), 76: drum(1100, 1090, 0.06), 77: drum(820, 810, 0.07),
  78: drum(500, 420, 0.1), 79: drum(400, 480, 0.25), 80: drum(4200, 4200, 0.08), 81: drum(4200, 4200, 1),
};
const PLAIN = drum(900, 880, 0.06);

export function playHit(output, { when, key, loudness }) {
  const { context } = output;
  const { tone, noise } = PERCUSSION[key] ?? PLAIN;
  const peak = 0.8 * (loudness / 127) ** 1.6;
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
    source.connect(filter).connect(fading(context, when, peak * share * 0.7, seconds)).connect(gain);
    source.start(when);
    source.stop(when + seconds + 0.02);
    sources.push(source);
  }
  return ending(context, gain, sources);
}

// One beat of the metre, the first of a bar higher.
export function playBeat(output, { when, isFirst }) {
  const { context } = output;
  const source = context.createOscillator();
  source.type = "triangle";
  source.frequency.value = isFirst ? 1760 : 1175;
  const gain = fading(context, when, isFirst ? 0.3 : 0.2, 0.045);
  source.connect(gain).connect(output.input);
  source.start(when);
  source.stop(when + 0.07);
  return ending(context, gain, [source]);
}

export const hertzOf = (key, a4) => a4 * 2 ** ((key - 69) / 12);

function fading(context, when, peak, seconds) {
  const gain = context.createGain();
  gain.gain.setValueAtTime(0, when);
  gain.gain.linearRampToValueAtTime(peak, when + 0.001);
  gain.gain.exponentialRampToValueAtTime(Math.max(peak / 1000, 1e-6), when + seconds);
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
