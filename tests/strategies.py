"""Hypothesis strategies for the values of the core, shared by every room's property tests."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from stavewright.theory import (
    SCALE_KINDS,
    Interval,
    Key,
    Letter,
    Meter,
    MeterSymbol,
    Mode,
    NoteValue,
    Pitch,
    PitchName,
    Scale,
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
