"""Single sounds as samples, by the recipe that the page's player follows.

A tone is its harmonics read from a table; percussion is a falling sine, filtered noise, or both.
What the Web Audio API leaves to its formulas (ramps, filters, the phase of an oscillator) is worked
out the same way here. Samples are floats, of loudness 1 where the recipe's `peak` would multiply.
"""

from collections.abc import Callable, Sequence
from functools import cache
from math import cos, exp, log, pi, sin
from typing import Final

from stavewright.figures.sound.recipe import Falling, Rattle, recipe

RATE: Final = 48_000
"""Samples a second."""

_TABLE_BITS: Final = 14
_PHASE_BITS: Final = 32
_ROUND: Final = 2**_PHASE_BITS
"""One turn of an oscillator; 0.00001 hertz is the finest step."""
_TAIL: Final = 0.02
"""Seconds that a hit's sources run on after it has faded."""


def tone(hertz: float, seconds: float) -> list[float]:
    """A tone that is held for `seconds`, and its release."""
    envelope = _envelope(seconds)
    wave = _wave(_harmonics_below(hertz))
    step = round(hertz / RATE * _ROUND)
    shift, mask = _PHASE_BITS - _TABLE_BITS, 2**_TABLE_BITS - 1
    phases = range(0, step * len(envelope), step)
    return [
        wave[(phase >> shift) & mask] * level for phase, level in zip(phases, envelope, strict=True)
    ]


@cache
def hit(key: int) -> tuple[float, ...]:
    """A hit of an instrument, by its number in General MIDI's percussion map."""
    made = recipe().instrument(key)
    falling = _falling(made.tone) if made.tone else []
    rattle = _rattle(made.noise) if made.noise else []
    longer, shorter = sorted((falling, rattle), key=len, reverse=True)
    summed = [one + other for one, other in zip(longer, shorter, strict=False)]
    return (*summed, *longer[len(shorter) :])


def _harmonics_below(hertz: float) -> int:
    """How many harmonics lie below half the rate; what lies above would sound false."""
    highest = int(RATE / 2 / hertz)
    return max(1, min(len(recipe().tone.harmonics), highest))


@cache
def _wave(count: int) -> tuple[float, ...]:
    """One turn of a tone with its first harmonics; with all of them its highest point is 1."""
    size = 2**_TABLE_BITS
    harmonics = recipe().tone.harmonics[:count]
    turn = [sin(2 * pi * place / size) for place in range(size)]
    wave = [
        sum(share * turn[place * number % size] for number, share in enumerate(harmonics, start=1))
        for place in range(size)
    ]
    whole = count == len(recipe().tone.harmonics)
    peak = max(map(abs, wave)) if whole else max(map(abs, _wave_sum()))
    return tuple(sample / peak for sample in wave)


def _wave_sum() -> list[float]:
    """One turn of all harmonics together, unscaled."""
    harmonics = recipe().tone.harmonics
    return [
        sum(
            share * sin(2 * pi * place * number / 2048)
            for number, share in enumerate(harmonics, start=1)
        )
        for place in range(2048)
    ]


def _envelope(seconds: float) -> list[float]:
    shape = recipe().tone
    held = max(round(seconds * RATE), round(shape.shortest * RATE))
    attack = round(shape.attack * RATE)
    rise = [place / attack for place in range(attack)]
    decay = exp(-1 / (shape.fade * RATE))
    level, fall = 1 - shape.held, []
    for _ in range(held - attack):
        fall.append(shape.held + level)
        level *= decay
    last = fall[-1] if fall else 1.0
    return [*rise, *fall, *(last * share for share in _release())]


@cache
def _release() -> tuple[float, ...]:
    shape = recipe().tone
    falling = shape.release / 4 * RATE
    return tuple(exp(-place / falling) for place in range(round(2 * shape.release * RATE)))


def _falling(falling: Falling) -> list[float]:
    """A sine from one frequency to another, along an exponential curve, in half its time."""
    turns = _turns(falling)
    envelope = _fading(falling.seconds)
    return [sin(2 * pi * turns(place / RATE)) * level for place, level in enumerate(envelope)]


def _turns(falling: Falling) -> Callable[[float], float]:
    """How often the sine has gone round at a moment: the integral of its frequency."""
    half = falling.seconds / 2
    ratio = falling.end / falling.start
    if ratio == 1:
        return lambda at: falling.start * at
    pace = log(ratio) / half
    scale = falling.start / pace
    over = scale * (ratio - 1)

    def turns(at: float) -> float:
        if at < half:
            return scale * (exp(pace * at) - 1)
        return over + falling.end * (at - half)

    return turns


def _rattle(rattle: Rattle) -> list[float]:
    share = rattle.share * recipe().hit.noise
    envelope = _fading(rattle.seconds)
    filtered = _filtered(_noise(len(envelope)), rattle.kind, rattle.hertz)
    return [sample * level * share for sample, level in zip(filtered, envelope, strict=True)]


def _fading(seconds: float) -> list[float]:
    """From nothing to 1, and along an exponential curve to the recipe's floor."""
    shape = recipe().hit
    attack, end = shape.attack * RATE, seconds * RATE
    pace = log(shape.floor) / (end - attack)
    levels = []
    for place in range(round((seconds + _TAIL) * RATE)):
        if place < attack:
            levels.append(place / attack)
        else:
            levels.append(exp(pace * (min(place, end) - attack)))
    return levels


@cache
def _noise(count: int) -> tuple[float, ...]:
    """The player's own noise: the same numbers each time, a second of them, over and over."""
    state, samples = 22222, []
    for _ in range(min(count, RATE)):
        state = (state * 1664525 + 1013904223) % 2**32
        samples.append(state / 2**31 - 1)
    return tuple((samples * -(-count // RATE))[:count])


def _filtered(samples: Sequence[float], kind: str, hertz: float) -> list[float]:
    """A biquad filter of quality 1 (Web Audio API, "Filters Characteristics")."""
    turn = 2 * pi * hertz / RATE
    if kind == "highpass":
        alpha = sin(turn) / 2 / 10 ** (1 / 20)
        b0, b1 = (1 + cos(turn)) / 2, -(1 + cos(turn))
        b2 = b0
    else:
        alpha = sin(turn) / 2
        b0, b1, b2 = alpha, 0.0, -alpha
    a0, a1, a2 = 1 + alpha, -2 * cos(turn), 1 - alpha
    b0, b1, b2, a1, a2 = b0 / a0, b1 / a0, b2 / a0, a1 / a0, a2 / a0
    x1 = x2 = y1 = y2 = 0.0
    found = []
    for x in samples:
        y = b0 * x + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2
        x1, x2, y1, y2 = x, x1, y, y1
        found.append(y)
    return found
