"""music21 as the outside judge of chord symbols and numerals.

Where it reads a label otherwise than we do, a table names the case, both readings and the reason;
a difference without a row fails, and so does a row without a difference.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from stavewright.theory import Chord, Key, Numeral, TheoryError
from tests.cases import rows

DATA = Path(__file__).parent / "data"
CHORD_TABLE = {case["title"]: case for _, case in rows(DATA / "music21_chords.tsv")}
NUMERAL_TABLE = {case["title"]: case for _, case in rows(DATA / "music21_numerals.tsv")}
ROOTS = [letter + sign for letter in "CDEFGAB" for sign in ("b", "", "#")]
NO_SYMBOLS = {"N6", "It+6", "It", "Fr+6", "Fr", "Gr+6", "Ger", "pedal", "power", "tristan"}
"""What music21 lists among chord symbols although no lead sheet writes it so."""
COMBINED = """
7b9 7#9 7#11 7b13 7b5 7#5 7#5#9 7b5b9 7#5b9 7b5#9 7b9#11 7b9b13 7#9b13 m7add11 madd9 add9
add2 add4 add11 M7#11 9#11 13#11 13b9 13#9 7add13 m9b5 m6add9 6add9 maj7#5 7sus4b9 M9#11
no5 7no5 mMaj7 -7 - m7b9 m11b5 m7b5b9
"""
"""Suffixes with modifiers, in a spelling that both understand wherever there is one."""
FIGURES = """
I i II ii III iii IV iv V v VI vi viio viio7 viiø7 viio65 viio43 viio42 viiø65 viiø43 V7 V65
V43 V42 V2 V6 V64 v6 v7 I6 I64 i6 i64 I7 i7 I65 I42 IV6 iv6 iv64 IV7 iv7 IV65 ii6 ii7 ii65
ii43 ii42 iio iio6 iiø7 iiø65 iii7 III7 III6 III+ V+ vi6 vi7 vi65 VI7 vio viø7 VII VII7 VII6
viio6 vii V/V V7/V V65/V V43/V V42/V viio/V viio7/V viiø7/V viio65/V V7/IV V7/iv V7/ii V7/vi
V65/ii V7/iii V/vi viio7/vi viio7/ii V7/III V7/VI V7/V/V N6/V N N6 bII bII6 bII7 bIII bVI
bVI6 bVII bVII7 bVI7 bVIImaj7 bIImaj7 Imaj7 IVmaj7 #ivo7 #viio7 It6 Fr43 Ger65 Ger65/V Cad64
V9 ii9 V11 V13 Vsus4 V7sus4 V7b9 iii+
"""
TONICS = {
    "major": ["C", "G", "D", "A", "E", "B", "F#", "F", "Bb", "Eb", "Ab", "Db"],
    "minor": ["C", "G", "D", "A", "E", "B", "F#", "C#", "F", "Bb", "Eb", "G#"],
}


def suffixes_of_music21():
    from music21 import harmony

    lists = (abbreviations for _, abbreviations in harmony.CHORD_TYPES.values())
    known = [each for abbreviations in lists for each in abbreviations if each not in NO_SYMBOLS]
    return [*known, *COMBINED.split()]


def in_our_signs(name):
    return name.replace("-", "b")


def reading(root, others):
    """Root or bass first, the others in no order: music21 sorts some chords by height."""
    return " ".join([root, *sorted({*others} - {root})])


def our_symbol(text):
    try:
        chord = Chord.parse(text)
    except TheoryError:
        return "refused"
    return reading(chord.spelling[0], chord.spelling)


def their_symbol(root, suffix):
    from music21 import harmony, pitch

    try:
        symbol = harmony.ChordSymbol(root.replace("b", "-") + suffix)
    except (ValueError, pitch.AccidentalException):
        return "refused"
    names = [in_our_signs(each.name) for each in symbol.pitches]
    return reading(in_our_signs(symbol.root().name), names)


def test_chord_symbols_agree_with_music21_but_for_the_table():
    differing = set()
    compared = 0
    for suffix in suffixes_of_music21():
        for root in ROOTS:
            ours, theirs = our_symbol(root + suffix), their_symbol(root, suffix)
            compared += 1
            if ours != theirs:
                differing.add(suffix)
                assert suffix in CHORD_TABLE, f"{root}{suffix}: {ours}, music21 {theirs}"
    assert compared >= 2000
    assert differing == set(CHORD_TABLE), "rows that no symbol needs"


@pytest.mark.parametrize("suffix", CHORD_TABLE)
def test_the_table_of_chord_differences_holds(suffix):
    case = CHORD_TABLE[suffix]
    assert our_symbol(f"C{suffix}") == case["ours"]
    assert their_symbol("C", suffix) == case["theirs"]
    assert case["why"]


def our_numeral(figure, tonic, mode):
    try:
        chord = Numeral.parse(figure).chord(Key.parse(f"{tonic} {mode}"))
    except TheoryError:
        return "refused"
    return reading(chord.from_bass[0], chord.from_bass)


@cache
def their_key(tonic, mode):
    from music21 import key

    return key.Key(tonic.replace("b", "-"), mode)


def their_numeral(figure, tonic, mode):
    from music21 import roman

    numeral = roman.RomanNumeral(figure, their_key(tonic, mode))
    names = [in_our_signs(pitch.name) for pitch in numeral.pitches]
    return reading(in_our_signs(numeral.bass().name), names)


def test_numerals_agree_with_music21_but_for_the_table():
    differing = set()
    compared = 0
    for mode, tonics in TONICS.items():
        for figure in FIGURES.split():
            for tonic in tonics:
                ours, theirs = our_numeral(figure, tonic, mode), their_numeral(figure, tonic, mode)
                compared += 1
                if ours != theirs:
                    differing.add(f"{figure} in {mode}")
                    assert f"{figure} in {mode}" in NUMERAL_TABLE, f"{tonic}: {ours}, {theirs}"
    assert compared >= 1000
    assert differing == set(NUMERAL_TABLE), "rows that no numeral needs"


@pytest.mark.parametrize("title", NUMERAL_TABLE)
def test_the_table_of_numeral_differences_holds(title):
    case = NUMERAL_TABLE[title]
    figure, mode = title.split(" in ")
    assert our_numeral(figure, "C", mode) == case["ours"]
    assert their_numeral(figure, "C", mode) == case["theirs"]
    assert case["why"]
