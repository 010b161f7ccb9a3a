"""What every value of the core promises: it is frozen, hashable, slotted, and crosses processes."""

from __future__ import annotations

import dataclasses
import pickle
from fractions import Fraction

import pytest
from hypothesis import given

from stavewright.theory import (
    BeatName,
    EqualDivision,
    Interval,
    Key,
    Meter,
    NoteValue,
    Pitch,
    PitchName,
    Scale,
    TupletRatio,
    enharmonic_keys,
    find_keys,
    just_intervals,
)
from stavewright.theory.quarter_tones import QUARTER_TONE_SIGNS
from tests import strategies

VALUES = (
    strategies.pitches
    | strategies.names
    | strategies.any_intervals
    | strategies.keys
    | strategies.scales
    | strategies.note_values
    | strategies.meters
)


@given(VALUES)
def test_a_value_survives_pickling_and_hashes_alike(value):
    other = pickle.loads(pickle.dumps(value))
    assert other == value
    assert hash(other) == hash(value)


@pytest.mark.parametrize(
    "value",
    [
        Pitch.parse("C4"),
        PitchName.parse("C"),
        Interval.parse("P5"),
        Key.parse("C major"),
        Scale.parse("C major"),
        NoteValue.parse("1/4"),
        Meter.parse("4/4"),
        BeatName.parse("the uh of one"),
        TupletRatio.parse("3:2"),
        EqualDivision(24),
        just_intervals()[0],
        enharmonic_keys(Key.parse("C major"))[0],
        find_keys([(PitchName.parse("C"), Fraction(1))])[0],
        QUARTER_TONE_SIGNS[0],
    ],
    ids=lambda value: type(value).__name__,
)
def test_a_value_never_changes(value):
    assert pickle.loads(pickle.dumps(value)) == value
    assert hash(value) is not None
    first = dataclasses.fields(value)[0].name
    with pytest.raises(dataclasses.FrozenInstanceError):
        setattr(value, first, None)
    assert not hasattr(value, "__dict__")


@pytest.mark.parametrize("value", [Pitch.parse("C4"), PitchName.parse("C"), NoteValue.parse("1")])
def test_values_of_two_kinds_have_no_order(value):
    with pytest.raises(TypeError):
        value < "C4"  # noqa: B015 - the comparison is what is tested
