"""Faults must keep their place, and survive the way to another process."""

from __future__ import annotations

import copy
import pickle

import pytest

from stavewright.theory import Key, Pitch, TheoryError


def fault() -> TheoryError:
    with pytest.raises(TheoryError) as caught:
        Pitch.parse("h4")
    return caught.value


@pytest.mark.parametrize("carry", [lambda e: pickle.loads(pickle.dumps(e)), copy.copy])
def test_every_field_survives_a_copy(carry):
    one = fault()
    other = carry(one)
    assert isinstance(other, TheoryError)
    for field in ("message", "text", "start", "end", "suggestion"):
        assert getattr(other, field) == getattr(one, field)


def test_a_fault_can_be_placed_in_longer_text():
    moved = fault().within("right: 1/4 h4", 11)
    assert moved.text[moved.start : moved.end] == "h4"
    assert moved.repaired == "right: 1/4 B4"


def test_without_a_suggestion_nothing_is_repaired():
    bare = TheoryError("No such thing", "abc")
    assert (bare.start, bare.end, bare.repaired, str(bare)) == (0, 3, None, "No such thing")


def test_the_text_shown_offers_the_suggestion():
    with pytest.raises(TheoryError, match=r"try 'D minor'"):
        Key.parse("d minor")
