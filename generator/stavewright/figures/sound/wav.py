"""A performance as a sound file: what the page's player plays, rendered without a browser.

Every sound begins on the sample nearest to its exact time. Nothing is squeezed: where the whole
would be louder than `PEAK`, all of it is made quieter, so that what is loud beside what stays true.
"""

import io
import sys
import wave
from array import array
from typing import Final

from stavewright.figures.sound.performance import Performance, PlayedNote
from stavewright.figures.sound.recipe import recipe
from stavewright.figures.sound.synthesis import RATE, hit, tone
from stavewright.figures.timeline import nearest
from stavewright.notation.score import Drum

PEAK: Final = 10 ** (-3 / 20)
"""The highest sample may be: three decibels under full scale."""
_FULL: Final = 2**23 - 1
_MIDI_A4: Final = 69


def wav_file(performance: Performance) -> bytes:
    """A WAV file: one channel, 48,000 samples a second of 24 bits (PCM).

    It begins at the first sound or the written beginning, whichever comes first, as the player
    does, and ends when the last sound has died away.
    """
    samples = render(performance)
    stream = io.BytesIO()
    with wave.open(stream, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(3)
        file.setframerate(RATE)
        file.writeframes(_packed(samples))
    return stream.getvalue()


def render(performance: Performance) -> "array[float]":
    """The samples of a performance, none over `PEAK`."""
    sounds = [
        (first_sample(note, performance), *_sound(note, performance)) for note in performance.notes
    ]
    whole = performance.length + performance.lead
    bars = -(-whole * RATE // performance.resolution.instants)
    length = max([bars, *(first + len(samples) for first, samples, _ in sounds)])
    mix = array("d", bytes(8 * length))
    for first, samples, peak in sounds:
        last = first + len(samples)
        held = mix[first:last]
        mix[first:last] = array("d", [a + peak * b for a, b in zip(held, samples, strict=True)])
    loudest = max((abs(sample) for sample in mix), default=0.0)
    gain = recipe().master * recipe().raised * recipe().level
    if loudest * gain > PEAK:
        gain = PEAK / loudest
    return array("d", [sample * gain for sample in mix])


def first_sample(note: PlayedNote, performance: Performance) -> int:
    """The sample on which a note begins."""
    return nearest((note.attack + performance.lead) * RATE, performance.resolution.instants)


def _sound(
    note: PlayedNote, performance: Performance
) -> tuple[list[float] | tuple[float, ...], float]:
    """The samples of one note, and how loud they are."""
    if isinstance(note.sound, Drum):
        shape = recipe().hit
        return hit(note.sound.key_number), shape.peak * (note.loudness / 127) ** shape.curve
    hertz = float(performance.a4) * 2 ** ((note.sound.key_number - _MIDI_A4) / 12)
    seconds = performance.resolution.seconds(note.release - note.attack)
    held = recipe().tone
    return tone(hertz, float(seconds)), held.peak * (note.loudness / 127) ** held.curve


def _packed(samples: "array[float]") -> bytes:
    """Three bytes a sample, the lowest first."""
    whole = array("i", [round(sample * _FULL) for sample in samples])
    if sys.byteorder == "big":
        whole.byteswap()
    data = whole.tobytes()
    packed = bytearray(3 * len(whole))
    for place in range(3):
        packed[place::3] = data[place::4]
    return bytes(packed)
