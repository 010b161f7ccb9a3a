"""Hypothesis strategies for the values of the core, shared by every room's property tests."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

from hypothesis import strategies as st

from stavewright.figures.timeline import TempoMap
from stavewright.notation.score import Score, Tempo, TempoChange
from stavewright.theory import (
    SCALE_KINDS,
    Chord,
    Interval,
    Key,
    Letter,
    Meter,
    MeterSymbol,
    Mode,
    NoteValue,
    Numeral,
    Pitch,
    PitchName,
    Scale,
    suffixes,
)

letters = st.sampled_from(Letter)
accidentals = st.integers(-3, 3).map(lambda count: count * 100)
quarter_tones = st.integers(-7, 7).map(lambda count: count * 50)
any_cents = st.integers(-350, 350)

plain_names = st.builds(PitchName, letters, accidentals)
"""Names on the keys of the piano, to triple sharps and flats."""
names = st.builds(PitchName, letters, accidentals | quarter_tones | any_cents)
"""Names with any cents as well."""

octaves = st.integers(-1, 10)
plain_pitches = st.builds(Pitch, letters, accidentals, octaves)
pitches = st.builds(Pitch, letters, accidentals | quarter_tones | any_cents, octaves)

intervals = st.builds(Interval.of_degree, st.integers(1, 30), st.integers(0, 500)) | st.builds(
    Interval.of_degree, st.integers(2, 30), st.integers(-500, 500)
)
"""Intervals upwards; negate one for the way down."""
any_intervals = intervals | intervals.map(lambda interval: -interval)

half_step_intervals = st.builds(
    lambda number, sharps: Interval.of_degree(number, 100 * sharps),
    st.integers(2, 8),
    st.integers(-2, 2),
)
"""Intervals between names on the keys of the piano, up to an octave."""

modes = st.sampled_from(Mode)
keys = st.builds(Key, plain_names, modes)
printed_keys = keys.filter(lambda key: not key.is_theoretical)

named_scales = st.builds(
    lambda tonic, octave, kind: Scale(tonic, octave, kind.name, kind.rising, kind.falling),
    plain_names,
    octaves | st.none(),
    st.sampled_from(SCALE_KINDS),
)
step_scales = st.builds(
    lambda tonic, steps: Scale.parse(f"{tonic} steps {' '.join(map(str, steps))}"),
    plain_pitches,
    st.lists(st.integers(1, 400), min_size=1, max_size=24),
)
scales = named_scales | step_scales

note_values = st.builds(
    NoteValue, st.integers(-1, 8).map(lambda power: Fraction(2) ** -power), st.integers(0, 3)
)
units = st.sampled_from((1, 2, 4, 8, 16, 32, 64))
meters = st.builds(
    lambda groups, unit: Meter(tuple(groups), unit),
    st.lists(st.integers(1, 12), min_size=1, max_size=5),
    units,
) | st.sampled_from((Meter((4,), 4, MeterSymbol.COMMON), Meter((2,), 2, MeterSymbol.CUT)))

_bodies = tuple(
    row.canonical for row in suffixes() if row.degrees[0] == "1" and row.canonical[:2] != "no"
)
_alterations = st.lists(st.sampled_from(("b9", "#9", "#11", "b13")), max_size=2, unique=True)
chords = st.builds(
    lambda root, body, altered, bass: Chord.on(
        root, f"{body}({''.join(altered)})" if altered else body, bass
    ),
    plain_names,
    st.sampled_from(_bodies),
    _alterations,
    plain_names | st.none(),
)
"""Every body of the suffix table, with alterations and a bass."""

_heads = (
    *(f"{a}{r}" for a, r in product(("", "b", "#"), ("I", "II", "III", "IV", "V", "VI", "VII"))),
    *(f"{a}{r}" for a, r in product(("", "b", "#"), ("i", "ii", "iii", "iv", "v", "vi", "vii"))),
)
_plain_numerals = st.builds(
    "{}{}".format,
    st.sampled_from(_heads),
    st.sampled_from(
        ("", "6", "64", "7", "65", "43", "42", "2", "maj7", "9", "765", "sus4", "7b9", "7(4-3)")
    ),
)
_signed_numerals = st.builds(
    "{}{}".format,
    st.sampled_from(("viio", "iio", "vio", "#ivo", "III+", "V+", "viiø", "iiø")),
    st.sampled_from(("7", "65", "43", "42")),
)
_named_numerals = st.sampled_from(
    ("N6", "N", "It6", "Fr43", "Ger65", "Ger7", "Fr42", "CTo7", "Cad64", "V(64)")
)
_targets = st.sampled_from(("", "", "", "/V", "/ii", "/vi", "/IV", "/bVI", "/V/V"))
numerals = st.builds(
    lambda head, target: Numeral.parse(head + target),
    _plain_numerals | _signed_numerals | _named_numerals,
    _targets,
)

score_times = st.fractions(-2, 50, max_denominator=960)
"""Moments of a score, in whole notes; a first note may be shifted before the beginning."""
_tempos = st.builds(
    Tempo,
    st.sampled_from([Fraction(1, 8), Fraction(1, 4), Fraction(3, 8), Fraction(1, 2)]),
    st.fractions(20, 400, max_denominator=10),
)
_tempo_changes = st.builds(TempoChange, st.fractions(0, 40, max_denominator=16), _tempos)
tempo_maps = st.builds(
    lambda tempo, changes: TempoMap.of(Score(tempo=tempo, tempo_changes=tuple(changes))),
    st.none() | _tempos,
    st.lists(_tempo_changes, max_size=5),
)
