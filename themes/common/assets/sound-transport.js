// Plays a row of moments on the audio clock: a timer looks a little ahead and hands over what falls
// due, each at its exact time. A slower pace stretches the times and leaves the tones as they are.

import { hertzOf, playBeat, playHit, playTone } from "./sound-synth.js";

const MICRO = 1e-6;
const AHEAD = 0.15;
// A page in the background is woken once a second at most.
const AHEAD_HIDDEN = 1.3;
const EVERY = 25;
const BEFORE_FIRST = 0.06;

// A figure's JSON as moments in order; times in seconds.
export function readScore({ a4 = 440, length, notes = [], hits = [], beats = [], lit = [] }) {
  const sound = (kind) => ([at, long, key, voice, loudness, ids]) => ({
    kind, at: at * MICRO, length: long * MICRO, key, voice, loudness, ids: ids ? ids.split(" ") : [],
  });
  const moments = [
    ...notes.map(sound("note")),
    ...hits.map(sound("hit")),
    ...lit.map(([at, long, ids, key]) => ({
      kind: "lit", at: at * MICRO, length: long * MICRO, ids: ids.split(" "), key,
    })),
    ...beats.map(([at, isFirst]) => ({ kind: "beat", at: at * MICRO, length: 0, isFirst: isFirst === 1 })),
  ];
  moments.sort((one, other) => one.at - other.at);
  return { a4, length: length * MICRO, moments };
}

// Hands one moment to the synthesis; gives the function that ends it early.
export function sound(output, score, moment, when, pace = 1) {
  if (moment.kind === "beat") return playBeat(output, { when, isFirst: moment.isFirst });
  if (moment.kind === "hit") return playHit(output, { when, ...pick(moment) });
  const hertz = hertzOf(moment.key, score.a4);
  return playTone(output, { when, length: moment.length / pace, hertz, loudness: moment.loudness });
}

const pick = ({ key, loudness }) => ({ key, loudness });

export class Transport {
  // `told.sounds(moment, from, to)` hears of each sound before it comes, in the clock's seconds;
  // `told.ends()` of the end.
  constructor(output, score, told) {
    this.output = output;
    this.score = score;
    this.told = told;
    this.pace = 1;
    this.loops = false;
    this.counts = false;
    this.muted = new Set();
    this.timer = null;
    this.live = new Map();
  }

  start() {
    this.anchor = { time: this.output.context.currentTime + BEFORE_FIRST, place: 0 };
    this.round = 0;
    this.next = 0;
    this.timer = setInterval(() => this.look(), EVERY);
    this.look();
  }

  stop() {
    clearInterval(this.timer);
    this.timer = null;
    for (const end of this.live.keys()) end();
    this.live.clear();
  }

  setPace(pace) {
    if (this.timer !== null) {
      const time = this.output.context.currentTime;
      this.anchor = { time, place: this.place(time) };
    }
    this.pace = pace;
  }

  setMuted(voice, isMuted) {
    if (isMuted) this.muted.add(voice);
    else this.muted.delete(voice);
    if (!isMuted) return;
    for (const [end, moment] of this.live) {
      if (moment.voice === voice) end();
    }
  }

  // Where the music is at a time of the clock, in seconds of the score, all rounds together.
  place(time) {
    return this.anchor.place + (time - this.anchor.time) * this.pace;
  }

  // How far the round is, from 0 to 1.
  progress(time) {
    const place = Math.max(0, this.place(time));
    return this.score.length ? (place % this.score.length) / this.score.length : 0;
  }

  look() {
    const now = this.output.context.currentTime;
    const horizon = now + (document.hidden ? AHEAD_HIDDEN : AHEAD);
    for (let when = this.due(); when !== null && when < horizon; when = this.due()) {
      // A moment that a busy page has missed is left out rather than played late.
      if (when > now - 0.05) this.play(this.score.moments[this.next], Math.max(when, now));
      this.next += 1;
    }
    this.forget(now);
    if (this.due() === null && this.place(now) >= (this.round + 1) * this.score.length) {
      clearInterval(this.timer);
      this.timer = null;
      this.told.ends();
    }
  }

  // When the next moment comes; null where there is none.
  due() {
    const { moments, length } = this.score;
    if (this.next >= moments.length) {
      if (!this.loops || !length) return null;
      this.next = 0;
      this.round += 1;
    }
    const place = this.round * length + moments[this.next].at;
    return this.anchor.time + (place - this.anchor.place) / this.pace;
  }

  play(moment, when) {
    if (moment.kind === "lit") return this.told.sounds(moment, when, when + moment.length / this.pace);
    const isBeat = moment.kind === "beat";
    if (isBeat ? !this.counts : this.muted.has(moment.voice)) return;
    const until = when + moment.length / this.pace;
    const end = sound(this.output, this.score, moment, when, this.pace);
    this.live.set(end, { voice: moment.voice, until: until + 2 });
    if (!isBeat) this.told.sounds(moment, when, until);
  }

  forget(now) {
    for (const [end, { until }] of this.live) {
      if (until < now) this.live.delete(end);
    }
  }
}
