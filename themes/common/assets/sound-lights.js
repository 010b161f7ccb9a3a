// Lights what sounds, in step with the audio clock: a class comes and goes, nothing else moves.

const CLASS = "sounding";

export class Lights {
  constructor(clock, frame = () => {}) {
    this.clock = clock;
    this.frame = frame;
    this.waiting = [];
    this.lit = new Map();
    this.request = null;
  }

  // Elements to be lit from one time of the clock to another.
  add(elements, from, to) {
    if (elements.length) this.waiting.push({ elements, from, to });
    this.request ??= requestAnimationFrame(() => this.step());
  }

  clear() {
    cancelAnimationFrame(this.request);
    this.request = null;
    this.waiting = [];
    for (const element of this.lit.keys()) element.classList.remove(CLASS);
    this.lit.clear();
  }

  step() {
    const now = this.clock();
    const wanted = new Map();
    this.waiting = this.waiting.filter(({ to }) => to > now);
    for (const { elements, from } of this.waiting) {
      if (from > now) continue;
      for (const element of elements) wanted.set(element, true);
    }
    for (const element of this.lit.keys()) {
      if (!wanted.has(element)) element.classList.remove(CLASS);
    }
    for (const element of wanted.keys()) element.classList.add(CLASS);
    this.lit = wanted;
    this.frame(now);
    this.request = requestAnimationFrame(() => this.step());
  }
}

// What the reader hears now was handed over a little earlier.
export const heardAt = (context) => context.currentTime - (context.outputLatency || 0);
