"""Symbols in running text, for the eye and the ear."""

from collections.abc import Callable

import pytest
from hypothesis import given

from stavewright.articles.symbols import (
    Symbol,
    chord_symbol,
    key_symbol,
    name_symbol,
    numeral_symbol,
    scale_symbol,
)
from stavewright.theory import Chord, Key, Numeral, Pitch, PitchName, Scale
from stavewright.theory.chord_table import CORES
from tests.articles.fuzz import FUZZ
from tests.articles.trees import fragment
from tests.articles.yaml_cases import DATA
from tests.cases import Case, cases
from tests.strategies import names

MAKERS: dict[str, Callable[[str], Symbol]] = {
    "chord": lambda text: chord_symbol(Chord.parse(text)),
    "numeral": lambda text: numeral_symbol(Numeral.parse(text)),
    "note": lambda text: name_symbol(Pitch.parse(text)),
    "name": lambda text: name_symbol(PitchName.parse(text)),
    "scale": lambda text: scale_symbol(Scale.parse(text)),
    "key": lambda text: key_symbol(Key.parse(text)),
}


@pytest.mark.parametrize("case", cases(DATA / "symbols.tsv"))
def test_symbol(case: Case) -> None:
    symbol = MAKERS[case["kind"]](case["text"])
    assert symbol.markup == case["markup"]
    assert symbol.spoken == case["spoken"]
    fragment(symbol.markup)


@FUZZ
@given(names)
def test_names_are_spoken_without_signs(name: PitchName) -> None:
    assert not set(name_symbol(name).spoken) & set("♯♭𝄪𝄫♮()−#")


def test_every_suffix_can_be_set() -> None:
    for core in CORES:
        symbol = chord_symbol(Chord.parse(f"Eb{core.canonical}"))
        assert symbol.markup.startswith("E♭")
        assert symbol.spoken.startswith("E flat ")
        assert not set(symbol.spoken) & set("♯♭#")
        fragment(symbol.markup)
