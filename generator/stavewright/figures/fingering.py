"""Where a chord lies under one hand on a fretted instrument.

A fingering gives each string a fret, 0 for open or None for muted. Of all that fit a hand (a span
of four frets, four fingers, one of them laid flat over the lowest fret) the one is taken that
leaves out the fewest tones, then mutes no string between two that sound, then lies low on the neck,
mutes few strings and needs few fingers.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise, takewhile
from typing import NamedTuple

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


# A figure is drawn and told from the same fingerings, and a site has few chords.
@lru_cache(maxsize=512)
def finger_pitches(strings: tuple[Pitch, ...], pitches: tuple[Pitch, ...]) -> Fingering | None:
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


@lru_cache(maxsize=512)
def finger_chord(strings: tuple[Pitch, ...], chord: Chord) -> Fingering | None:
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
    choices = [_choices(number, wanted, exactly) for number in opens]
    search = _Search(opens, wanted, exactly, _mutes(strings, wanted))
    for base in range(_LAST_BASE + 1):
        search.go_on(_Position.of(base, opens, choices))
    found = search.best
    return None if found is None else _named(opens, found, wanted, is_moved=exactly is None)


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


class Cost(NamedTuple):
    """What a fingering costs: see the head of this file. Smaller is better."""

    missing: int
    """Tones of the chord that are left out."""
    inner_muted: int
    lonely: int
    """Strings that should sound and do not."""
    ease: int
    fingers: int
    pressed: int
    """The sum of the frets."""


@dataclass(frozen=True, slots=True)
class _Position:
    """Where a hand lies on the neck."""

    base: int
    """The fret of the first finger, which must press it; 0 where all strings are open or muted."""
    choices: tuple[tuple[int, ...], ...]
    """The frets within reach of each string that sound a wanted tone."""
    later: tuple[frozenset[int], ...]
    """What each string and those after it can sound, in half steps above C; at the end nothing."""

    @classmethod
    def of(cls, base: int, opens: Sequence[int], choices: Sequence[tuple[int, ...]]) -> "_Position":
        """The position above a fret, of all choices that strings have."""
        reach = (0, *range(base, base + SPAN)) if base else (0,)
        near = tuple(tuple(fret for fret in frets if fret in reach) for frets in choices)
        later = [frozenset[int]()]
        for low, frets in zip(reversed(opens), reversed(near), strict=True):
            later.append(later[-1].union((low + fret) % 12 for fret in frets))
        return cls(base, near, tuple(reversed(later)))


@dataclass(slots=True)
class _Search:
    """Goes through the ways to stop the strings, and leaves out what begins worse than the best.

    Of fingerings that cost the same the first counts: that lowest on the neck, and there the one
    whose first string to differ is muted, or else has the lower fret.
    """

    opens: Sequence[int]
    """What the strings sound when open, as MIDI notes."""
    wanted: _Wanted
    exactly: frozenset[int] | None
    mutes: tuple[int, int]
    best: Frets | None = None
    least: Cost | None = None
    """What the best costs."""

    def go_on(
        self, here: _Position, begun: Frets = (), heard: frozenset[int] = frozenset()
    ) -> None:
        """Try every way to stop the strings after those begun; `heard` is what these sound."""
        left = len(here.choices) - len(begun)
        lacking, later = self.wanted.required - heard, here.later[len(begun)]
        if len(lacking) > left or not lacking <= later:
            return
        most = min(len(heard | later), len(heard) + left)
        least = cost(begun, left, here.base, self.mutes, len(self.wanted.names) - most)
        if least.fingers > FINGERS or (self.least is not None and least >= self.least):
            return
        if left:
            self.go_on(here, (*begun, None), heard)
            low = self.opens[len(begun)]
            for fret in here.choices[len(begun)]:
                self.go_on(here, (*begun, fret), heard | {(low + fret) % 12})
        elif here.base in (0, *begun) and self._is_right(begun):
            self.best, self.least = begun, least

    def _is_right(self, frets: Frets) -> bool:
        """Whether anything sounds, the right tone lowest, and exact notes if any are asked for."""
        sounding = [
            low + fret for low, fret in zip(self.opens, frets, strict=True) if fret is not None
        ]
        if not sounding or (self.exactly is not None and sorted(sounding) != sorted(self.exactly)):
            return False
        return not self.wanted.insists or min(sounding) % 12 == self.wanted.lowest


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


def cost(frets: Frets, left: int, base: int, mutes: tuple[int, int], missing: int) -> Cost:
    """What a fingering at `base` costs; with strings left to stop, what it will cost at least.

    No string that is added makes it cost less: whatever goes down, as a muted string does that
    turns out to lie between two that sound, something before it in the order goes up.
    """
    low_mute, high_mute = mutes
    sounding = [place for place, fret in enumerate(frets) if fret is not None]
    if sounding:
        inner_muted = sounding[-1] - sounding[0] + 1 - len(sounding)
        muted = low_mute * sounding[0] + high_mute * (len(frets) - 1 - sounding[-1])
    else:
        inner_muted, muted = 0, low_mute * len(frets)
    pressed = [fret for fret in frets if fret]
    reach = max(pressed, default=base)
    stretch = max(0, reach - base - _EASY_STRETCH)
    # Open strings among high frets leap out of the chord.
    leaps = frets.count(0) if reach >= SPAN else 0
    return Cost(
        missing,
        inner_muted,
        lonely=max(0, _FULL - len(sounding) - left),
        ease=reach + stretch + muted + leaps,
        fingers=_fingers(frets),
        pressed=sum(pressed),
    )
