"""Where a chord lies under one hand on a fretted instrument.

A fingering gives each string a fret, 0 for open or None for muted. Of all that fit a hand (a span
of four frets, four fingers, one of them laid flat over the lowest fret) the one is taken that
sounds the written pitches if that can be done, else every note name of the chord with the right
bass; then fewer muted strings, more open ones, and a lower place on the neck.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product

from stavewright.theory import Pitch, PitchName

SPAN, FINGERS, LAST_FRET = 4, 4, 12

Frets = tuple[int | None, ...]


@dataclass(frozen=True)
class Fingering:
    """A fret for each string, in the order of the strings given."""

    frets: Frets
    names: tuple[PitchName | None, ...]
    """What each string sounds, as the chord spells it; None where it is muted."""

    @cached_property
    def fretted(self) -> tuple[int, ...]:
        """The frets that are pressed."""
        return tuple(fret for fret in self.frets if fret)


def find_fingering(strings: Sequence[Pitch], pitches: Sequence[Pitch]) -> Fingering | None:
    """The best fingering of a chord, or None where no hand can play it.

    `pitches` are the chord's notes with the bass lowest; quarter tones have no fret.
    """
    exact = _best(strings, pitches, _by_pitch(strings, pitches), {p.key_number for p in pitches})
    if exact:
        return exact
    classes = {p.pitch_class for p in pitches}
    return _best(strings, pitches, _by_name(strings, pitches), classes)


def _by_pitch(strings: Sequence[Pitch], pitches: Sequence[Pitch]) -> list[list[int | None]]:
    """Frets of each string that sound one of the very pitches."""
    numbers = {p.key_number for p in pitches}
    return [
        [None, *(f for f in range(LAST_FRET + SPAN) if string.key_number + f in numbers)]
        for string in strings
    ]


def _by_name(strings: Sequence[Pitch], pitches: Sequence[Pitch]) -> list[list[int | None]]:
    classes = {p.pitch_class for p in pitches}
    return [
        [None, *(f for f in range(LAST_FRET) if (string.key_number + f) % 12 in classes)]
        for string in strings
    ]


def _best(
    strings: Sequence[Pitch],
    pitches: Sequence[Pitch],
    choices: list[list[int | None]],
    needed: set[float] | set[int],
) -> Fingering | None:
    spelled = {p.pitch_class: p.name for p in pitches}
    bass = min(pitches, key=lambda pitch: pitch.cents)
    by_pitch = max(needed, default=0) >= 12
    best: tuple[tuple[int, ...], Frets] | None = None
    for frets in _under_one_hand(choices):
        sounding = [s.key_number + f for s, f in zip(strings, frets, strict=True) if f is not None]
        found = set(sounding) if by_pitch else {number % 12 for number in sounding}
        if found != needed or min(sounding) % 12 != bass.key_number % 12:
            continue
        if by_pitch and len(sounding) != len(needed):
            continue
        candidate = (_cost(frets), frets)
        if best is None or candidate < best:
            best = candidate
    if best is None:
        return None
    names = tuple(
        None if fret is None else spelled[int(string.key_number + fret) % 12]
        for string, fret in zip(strings, best[1], strict=True)
    )
    return Fingering(best[1], names)


def _under_one_hand(choices: list[list[int | None]]) -> Iterator[Frets]:
    """Every way to stop the strings that lies within the span of a hand."""
    seen: set[Frets] = set()
    for base in range(1, LAST_FRET):
        reach = range(base, base + SPAN)
        near = [
            [fret for fret in string if fret in (None, 0) or fret in reach] for string in choices
        ]
        for frets in product(*near):
            if (
                frets not in seen
                and _fingers(frets) <= FINGERS
                and any(f is not None for f in frets)
            ):
                seen.add(frets)
                yield frets


def _fingers(frets: Frets) -> int:
    """Fingers needed, one laid flat over the lowest fret unless an open string forbids it."""
    pressed = [fret for fret in frets if fret]
    if not pressed:
        return 0
    lowest = min(pressed)
    flat = pressed.count(lowest)
    first = frets.index(lowest)
    crosses_open = 0 in frets[first:]
    return len(pressed) - (0 if crosses_open else flat - 1)


def _cost(frets: Frets) -> tuple[int, ...]:
    sounding = [place for place, fret in enumerate(frets) if fret is not None]
    inner_muted = sounding[-1] - sounding[0] + 1 - len(sounding)
    muted = len(frets) - len(sounding)
    pressed = [fret for fret in frets if fret]
    place = max(pressed, default=0)
    return (inner_muted, place + 2 * muted, _fingers(frets), sum(pressed))
