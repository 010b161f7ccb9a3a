"""Where a chord lies under one hand on a fretted instrument.

A fingering gives each string a fret, 0 for open or None for muted. Of all that fit a hand (a span
of four frets, four fingers, one of them laid flat over the lowest fret) the one is taken that
leaves out the fewest tones, then mutes no string between two that sound, then lies low on the neck,
mutes few strings and needs few fingers.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise, takewhile

from stavewright.theory import Chord, Pitch, PitchName

SPAN, FINGERS, LAST_FRET = 4, 4, 12
_LAST_BASE = LAST_FRET
"""The highest place for the first finger."""
_EASY_STRETCH = 2
"""Frets between the first finger and the last that cost nothing."""
_MUTED_LOW_COST, _MUTED_HIGH_COST = 2, 4
"""What a muted string weighs, in frets up the neck: one below the bass is simply not struck."""
_FULL = 3
"""Strings that should sound at least; fewer are a chord only on paper."""

Frets = tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class Fingering:
    """A fret for each string, in the order of the strings given."""

    frets: Frets
    names: tuple[PitchName | None, ...]
    """What each string sounds, as the chord spells it; None where it is muted."""
    missing: tuple[PitchName, ...] = ()
    """Tones of the chord that are left out, as players do."""
    has_bass: bool = True
    """Whether the chord's bass is the lowest sound."""
    is_moved: bool = False
    """Whether the names sound in other octaves than were asked for."""

    @property
    def pressed(self) -> tuple[int, ...]:
        """The frets that are pressed."""
        return tuple(fret for fret in self.frets if fret)


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What a fingering must sound, in half steps above C."""

    names: dict[int, PitchName]
    required: frozenset[int]
    lowest: int
    """The bass."""
    insists: bool = True
    """Whether the bass must be the lowest sound."""

    def fits(self, sounding: Sequence[int]) -> bool:
        """Whether nothing that defines the chord is absent and the right tone lies lowest."""
        classes = {number % 12 for number in sounding}
        has_bass = min(sounding) % 12 == self.lowest
        return self.required <= classes and (has_bass or not self.insists)


def finger_pitches(strings: Sequence[Pitch], pitches: Sequence[Pitch]) -> Fingering | None:
    """The best fingering of written notes, or None where no hand can play them.

    The very pitches are sounded if a hand reaches them, else all their names over the same bass.
    Quarter tones have no fret.
    """
    if not pitches or any(pitch.name.is_microtonal for pitch in (*strings, *pitches)):
        return None
    names = {int(pitch.pitch_class): pitch.name for pitch in pitches}
    bass = min(pitches)
    wanted = _Wanted(names, frozenset(names), int(bass.pitch_class))
    numbers = frozenset(int(pitch.key_number) for pitch in pitches)
    exact = _best(strings, wanted, numbers)
    return exact or _best(strings, wanted)


def finger_chord(strings: Sequence[Pitch], chord: Chord) -> Fingering | None:
    """The best fingering of a chord symbol, in whatever octaves, or None where no hand can play it.

    Tones that players leave out may be missing, but never the root. Over strings that do not rise
    one after the other, such as a ukulele's, the lowest sound may be any tone (common practice).
    """
    if any(pitch.name.is_microtonal for pitch in strings):
        return None
    names: dict[int, PitchName] = {}
    for name in (*chord.names, chord.bass):
        names.setdefault(int(name.pitch_class), name)
    kept = {tone.name for tone in chord.required} | {chord.bass, chord.root or chord.bass}
    required = frozenset(int(name.pitch_class) for name in kept)
    wanted = _Wanted(names, required, int(chord.bass.pitch_class), insists=rising(strings))
    return _best(strings, wanted) or _best(strings, replace(wanted, insists=False))


def rising(strings: Sequence[Pitch]) -> bool:
    """Whether each string sounds higher than the one before it."""
    return all(low < high for low, high in pairwise(strings))


def _best(
    strings: Sequence[Pitch], wanted: _Wanted, exactly: frozenset[int] | None = None
) -> Fingering | None:
    """The fingering of least cost; `exactly` asks for these MIDI notes, each once."""
    opens = [int(string.key_number) for string in strings]
    mutes = _mutes(strings, wanted)
    best: tuple[tuple[int, ...], Frets] | None = None
    for frets in _under_one_hand([_choices(number, wanted, exactly) for number in opens]):
        sounding = [low + fret for low, fret in zip(opens, frets, strict=True) if fret is not None]
        if not sounding or not wanted.fits(sounding):
            continue
        if exactly is not None and sorted(sounding) != sorted(exactly):
            continue
        missing = len(wanted.names) - len({number % 12 for number in sounding})
        candidate = ((missing, *_cost(frets, mutes)), frets)
        if best is None or candidate[0] < best[0]:
            best = candidate
    return None if best is None else _named(opens, best[1], wanted, is_moved=exactly is None)


def _mutes(strings: Sequence[Pitch], wanted: _Wanted) -> tuple[int, int]:
    """What a muted string costs below the bass and above the highest sound.

    A chord of two names is played on the low strings alone (common practice).
    """
    low = _MUTED_LOW_COST if rising(strings) else _MUTED_HIGH_COST
    return low, 0 if len(wanted.names) == 2 else _MUTED_HIGH_COST


def _named(opens: list[int], frets: Frets, wanted: _Wanted, *, is_moved: bool) -> Fingering:
    sounding = [None if f is None else low + f for low, f in zip(opens, frets, strict=True)]
    classes = {number % 12 for number in sounding if number is not None}
    return Fingering(
        frets,
        tuple(None if number is None else wanted.names[number % 12] for number in sounding),
        tuple(name for number, name in wanted.names.items() if number not in classes),
        min(number for number in sounding if number is not None) % 12 == wanted.lowest,
        is_moved,
    )


def _choices(opened: int, wanted: _Wanted, exactly: frozenset[int] | None) -> tuple[int, ...]:
    """The frets of a string that sound a wanted tone."""
    frets = range(_LAST_BASE + SPAN)
    if exactly is not None:
        return tuple(fret for fret in frets if opened + fret in exactly)
    return tuple(fret for fret in frets if (opened + fret) % 12 in wanted.names)


def _under_one_hand(choices: list[tuple[int, ...]]) -> Iterator[Frets]:
    """Every way to stop the strings that lies within the span of a hand, each once."""
    yield from _stopped([tuple(f for f in frets if f == 0) for frets in choices], 0, ())
    for base in range(1, _LAST_BASE + 1):
        reach = (0, *range(base, base + SPAN))
        near = [tuple(fret for fret in frets if fret in reach) for frets in choices]
        for frets in _stopped(near, base, ()):
            if base in frets and _fingers(frets) <= FINGERS:
                yield frets


def _stopped(choices: list[tuple[int, ...]], base: int, begun: Frets) -> Iterator[Frets]:
    """Ways to stop the strings after those begun.

    The lowest fret needs one finger at least, so the frets above it have the other three. A flat
    finger serves one fret only, so four different strings and frets above are too many.
    """
    above = [fret for fret in begun if fret is not None and fret > base]
    if len(above) - max(0, _longest_run(above) - 1) >= FINGERS:
        return
    if len(begun) == len(choices):
        yield begun
        return
    for fret in (None, *choices[len(begun)]):
        yield from _stopped(choices, base, (*begun, fret))


def _longest_run(frets: Sequence[int]) -> int:
    return max((len(list(group)) for _, group in groupby(frets)), default=0)


def _fingers(frets: Frets) -> int:
    """Fingers needed.

    One may lie flat over the lowest fret, unless an open string forbids it, and one over the same
    fret of the highest strings (common practice).
    """
    pressed = [fret for fret in frets if fret]
    if not pressed:
        return 0
    lowest = min(pressed)
    crosses_open = 0 in frets[frets.index(lowest) :]
    flat = 0 if crosses_open else pressed.count(lowest) - 1
    sounding = [fret for fret in frets if fret is not None]
    run = len(list(takewhile(lambda fret: fret == sounding[-1] > lowest, reversed(sounding))))
    return len(pressed) - flat - max(0, run - 1)


def _cost(frets: Frets, mutes: tuple[int, int]) -> tuple[int, ...]:
    """Smaller is better: see the head of this file."""
    low_mute, high_mute = mutes
    sounding = [place for place, fret in enumerate(frets) if fret is not None]
    lonely = max(0, _FULL - len(sounding))
    inner_muted = sounding[-1] - sounding[0] + 1 - len(sounding)
    muted = low_mute * sounding[0] + high_mute * (len(frets) - 1 - sounding[-1])
    pressed = [fret for fret in frets if fret]
    reach = max(pressed, default=0)
    stretch = max(0, reach - min(pressed, default=0) - _EASY_STRETCH)
    # Open strings among high frets leap out of the chord.
    leaps = frets.count(0) if reach >= SPAN else 0
    ease = reach + stretch + muted + leaps
    return (inner_muted, lonely, ease, _fingers(frets), sum(pressed))
