"""What every value of the core promises: it is frozen, hashable, slotted, and crosses processes."""

from __future__ import annotations

import dataclasses
import pickle

import pytest
from hypothesis import given

from stavewright.theory import Interval, Key, Meter, NoteValue, Pitch, PitchName, Scale
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
    ],
    ids=lambda value: type(value).__name__,
)
def test_a_value_never_changes(value):
    first = dataclasses.fields(value)[0].name
    with pytest.raises(dataclasses.FrozenInstanceError):
        setattr(value, first, None)
    assert not hasattr(value, "__dict__")


@pytest.mark.parametrize("value", [Pitch.parse("C4"), PitchName.parse("C"), NoteValue.parse("1")])
def test_values_of_two_kinds_have_no_order(value):
    with pytest.raises(TypeError):
        value < "C4"  # noqa: B015 - the comparison is what is tested
