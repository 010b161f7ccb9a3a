"""Finding the chords that a set of names spells; `naming_respelled` goes by sound alone."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Final

from stavewright.theory.chord import Chord
from stavewright.theory.chord_meaning import meaning_of
from stavewright.theory.chord_suffix import read_suffix
from stavewright.theory.chord_table import CORES
from stavewright.theory.chord_tone import Role, degree_interval, read_degree
from stavewright.theory.numeral_chord import augmented_sixth
from stavewright.theory.numeral_table import AUGMENTED_SIXTH_BASSES, AUGMENTED_SIXTHS, FIGURES

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from stavewright.theory.interval import Interval
    from stavewright.theory.key import Key
    from stavewright.theory.pitch import Pitch, PitchName

_MODIFIED: Final = (
    "add9",
    "madd9",
    "add2",
    "madd2",
    "add4",
    "add11",
    "madd4",
    "madd11",
    "(b5)",
    "7b9",
    "7#9",
    "7#11",
    "7b13",
    "7b5b9",
    "7b5#9",
    "7#5b9",
    "7#5#9",
    "7b9b13",
    "7b9#11",
    "7sus4b9",
    "7b9add13",
    "7add13",
    "7add11",
    "m7add11",
    "9#11",
    "9b13",
    "13b9",
    "13#11",
    "maj7#11",
    "maj7b5",
    "maj9#11",
    "maj13#11",
    "maj7add13",
    "mMaj7b5",
    "add#11",
    "9b5",
    "13#9",
)
"""Modified suffixes a player would really write; the bodies of the table are tried as well."""

_UNNAMED: Final = frozenset(
    {"5", "7alt", "dim9", "dimMaj7", "sus2sus4", "7sus2sus4", "maj9#5", "mMaj11", "mMaj13"}
)
"""Bodies that are read but that no one would guess from the notes alone."""


_ACTING: Final = "addb6"


@dataclass(frozen=True, slots=True)
class Shape:
    """A suffix as letters and alterations above the root, octaves ignored."""

    suffix: str
    tones: frozenset[tuple[int, int]]
    """(letter steps 0 to 6, cents of alteration)."""
    dispensable: frozenset[tuple[int, int]]
    """Tones that may be missing."""
    has_seventh: bool
    sounds: frozenset[int]
    """Cents above the root within the octave."""


@dataclass(frozen=True, slots=True)
class Match:
    """A chord that the notes agree with."""

    chord: Chord
    missing: tuple[PitchName, ...]
    """Chord tones that do not sound."""
    changed: int
    """Notes that are spelled otherwise than in the chord; 0 for a match by spelling."""
    strain: int
    """What the name asks the reader to grant: a missing root, an unusual bass, a respelling."""
    plainness: int
    """Place of the suffix in the table, plainest first."""


@cache
def shapes() -> tuple[Shape, ...]:
    """The suffixes that notes are compared with, plainest first."""
    bodies = [core.canonical for core in CORES if core.canonical not in _UNNAMED]
    return tuple(_shape(suffix) for suffix in (*bodies, *_MODIFIED))


def _shape(suffix: str) -> Shape:
    degrees = meaning_of(read_suffix(suffix)).degrees
    keys = {degree: _place(degree_interval(degree)) for degree, _ in degrees}
    third_counts = "11" in keys
    return Shape(
        suffix,
        frozenset(keys.values()),
        frozenset(
            keys[degree]
            for degree, role in degrees
            if role is Role.OPTIONAL and not (third_counts and read_degree(degree)[0] == 3)
        ),
        any(read_degree(degree)[0] == 7 for degree in keys),
        frozenset(degree_interval(degree).cents % 1200 for degree in keys),
    )


def _place(interval: Interval) -> tuple[int, int]:
    return interval.steps % 7, interval.altered


def spelled(names: Sequence[PitchName], pitches: Sequence[Pitch]) -> Iterator[Match]:
    """Find the chords that the names spell; `names` lists the bass first."""
    bass = names[0]
    for special in AUGMENTED_SIXTHS:
        chord = augmented_sixth(special, bass)
        if set(chord.names) == set(names):
            yield Match(chord, (), 0, 0, 0)
    thirds = (degree_interval("3"), degree_interval("b3"))
    absent = dict.fromkeys(name - third for name in names for third in thirds)
    for root in names:
        yield from _on_root(root, names, bass, pitches)
    for root in absent:
        if root not in names and abs(root.accidentals) < 2:
            yield from _on_root(root, names, bass, pitches)
    if len(names) > 3:
        yield from _over_foreign_bass(names[1:], bass, pitches)


def augmented_sixths_in(key: Key, names: Sequence[PitchName]) -> Iterator[Match]:
    """Find the augmented sixth that the names spell in a key, whichever of its tones is the bass.

    Without a key only the usual bass is looked for: the same notes over another are far more often
    a misspelled seventh chord.
    """
    lowered_sixth = key.tonic + degree_interval("b6")
    if lowered_sixth not in names or key.tonic not in names:
        return
    for special, basses in AUGMENTED_SIXTH_BASSES.items():
        # Of two figures for one bass the first is the usual one.
        for figure in {degree: each for each, degree in reversed(basses.items())}.values():
            chord = augmented_sixth(special, lowered_sixth, FIGURES[figure])
            if chord.bass == names[0] and set(chord.names) == set(names):
                yield Match(chord, (), 0, 0 if chord.bass == lowered_sixth else 1, 0)


def is_acting(chord: Chord) -> bool:
    """Whether a chord is one that only its place could suggest; see `acting`."""
    return chord.suffix == _ACTING


def acting(
    root: PitchName, names: Sequence[PitchName], pitches: Sequence[Pitch]
) -> Iterator[Match]:
    """Find the chord whose flat sixth stands before its fifth, on a root that acts as dominant.

    Away from a dominant no one would say so: everywhere else E G# B C is Cmaj7#5.
    """
    if root in names:
        for match in _on_root(root, names, names[0], pitches, (_flat_sixth_shape(),)):
            yield replace(match, strain=match.strain - 1, plainness=len(shapes()))


@cache
def _flat_sixth_shape() -> Shape:
    return replace(_shape(_ACTING), dispensable=frozenset())


def _on_root(
    root: PitchName,
    names: Sequence[PitchName],
    bass: PitchName,
    pitches: Sequence[Pitch],
    tried: Sequence[Shape] = (),
) -> Iterator[Match]:
    present = frozenset(_place(root.interval_to(name)) for name in names)
    for plainness, shape in enumerate(tried or shapes()):
        missing = shape.tones - present
        if present - shape.tones or not missing <= shape.dispensable:
            continue
        rootless = (0, 0) in missing
        if rootless and not _may_lack_root(shape, missing, names):
            continue
        if missing and len(names) == 3 and not shape.has_seventh:
            continue
        chord = Chord.on(root, shape.suffix, bass)
        if chord.broken_voicing_rules(pitches):
            continue
        absent = tuple(n for n in chord.names if _place(root.interval_to(n)) in missing)
        yield Match(chord, absent, 0, strain_of(chord, absent), plainness)


def _may_lack_root(
    shape: Shape, missing: frozenset[tuple[int, int]], names: Sequence[PitchName]
) -> bool:
    """Whether the rest is enough to hear the root that is not there.

    Only roots of seventh chords and larger are ever dispensable. Three notes are enough only where
    they hold the tritone of a dominant: B D F for G7.
    """
    dominant = {_place(degree_interval(degree)) for degree in ("3", "b7")}
    return len(names) > 3 or (dominant <= shape.tones and len(missing) == 1)


def _over_foreign_bass(
    upper: Sequence[PitchName], bass: PitchName, pitches: Sequence[Pitch]
) -> Iterator[Match]:
    """Find a complete triad or seventh chord in the upper notes, over a bass that is not in it."""
    for root in upper:
        for match in _on_root(root, upper, root, pitches):
            if not match.missing and len(match.chord.tones) <= 4:
                chord = match.chord.over(bass)
                yield Match(chord, (), 0, strain_of(chord, ()), match.plainness)


def strain_of(chord: Chord, missing: Sequence[PitchName]) -> int:
    """Give what a name asks the reader to grant: tones left out, a bass that is not the root."""
    numbers = [tone.number for tone in chord.tones if tone.name in missing]
    # The ninth of an eleventh, and the ninth and eleventh of a thirteenth, are rarely played.
    strain = sum({1: 6, 5: 2}.get(number, 0) for number in numbers)
    if chord.root in missing:
        return strain
    if chord.has_foreign_bass:
        return strain + 5
    if chord.bass != chord.root:
        tone = chord.tone(chord.bass)
        strain += 1 if tone is not None and tone.number in (3, 5, 7) else 3
    return strain
