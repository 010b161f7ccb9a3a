"""Chord symbols: what each suffix means, what is refused, and the laws that hold for all."""

from __future__ import annotations

import pickle
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.theory import (
    Chord,
    Interval,
    Key,
    Numeral,
    Pitch,
    PitchName,
    Role,
    TheoryError,
    suffixes,
)
from stavewright.theory.chord_table import core_spellings, modifier_spellings
from stavewright.theory.chord_tone import read_degree
from tests import strategies
from tests.cases import cases
from tests.theory.faults import check_any_text, check_fault

DATA = Path(__file__).parent / "data"
PIECES = sorted({*core_spellings(), *modifier_spellings(), "(", ")", "/", "/E", "2", "H", ","})
CHORD_TEXT = st.text(alphabet="ABCDEFGHabcm#♭Δø°o+-(),/79513 ", max_size=8) | st.tuples(
    st.sampled_from(["C", "F#", "Bb", "c", "H", ""]),
    st.lists(st.sampled_from(PIECES), max_size=4).map("".join),
).map("".join)
ANY_SYMBOL = st.builds(
    "{}{}{}{}".format,
    st.sampled_from(["C", "F#"]),
    st.sampled_from(sorted(core_spellings())),
    st.lists(st.sampled_from(sorted(modifier_spellings())), max_size=4).map("".join),
    st.sampled_from(["", "/E"]),
)


@pytest.mark.parametrize("case", cases(DATA / "chords.tsv"))
def test_symbol(case):
    chord = Chord.parse(case["text"])
    assert chord.symbol == case["symbol"]
    assert " ".join(chord.spelling) == case["spelling"]
    assert chord.quality == case["quality"]
    assert chord.text == case["text"]
    again = Chord.parse(chord.symbol)
    assert again == chord
    assert hash(again) == hash(chord)
    assert again.symbol == chord.symbol
    assert pickle.loads(pickle.dumps(chord)) == chord


@pytest.mark.parametrize("case", cases(DATA / "chord_faults.tsv"))
def test_bad_symbol_is_explained(case):
    check_fault(Chord.parse, case)


@pytest.mark.parametrize("case", cases(DATA / "chord_redundancies.tsv"))
def test_what_is_said_in_vain(case):
    chord = Chord.parse(case["text"])
    found = [(each.what, each.suggestion) for each in chord.redundancies]
    assert found == ([(case["what"], case["suggestion"])] if case["what"] else [])
    for each in chord.redundancies:
        plain = Chord.parse(each.suggestion)
        assert set(plain.names) == set(chord.names)
        assert not plain.redundancies
        assert not each.meaning.endswith(".")


@pytest.mark.parametrize("case", cases(DATA / "chord_roles.tsv"))
def test_what_may_be_left_out(case):
    tones = Chord.parse(case["text"]).tones
    assert " ".join(t.degree for t in tones if t.role is Role.OPTIONAL) == case["optional"]


@pytest.mark.parametrize("case", cases(DATA / "chord_bass.tsv"))
def test_names_from_the_bass(case):
    chord = Chord.parse(case["text"])
    assert " ".join(chord.from_bass) == case["from_bass"]
    assert chord.is_inverted == (case["inverted"] == "yes")
    assert chord.has_foreign_bass == (case["foreign"] == "yes")


# Common practice, no source: the ninth of a Cadd9 lies an octave above the triad; with the D
# between C and E it is Cadd2; the ninth of a C9 may lie anywhere.
@pytest.mark.parametrize(
    ("symbol", "notes", "otherwise"),
    [
        ("Cadd9", "C4 E4 G4 D5", None),
        ("Cadd9", "C4 D4 E4 G4", "Cadd2"),
        ("Cadd9", "C3 G3 D4 E4", None),
        ("Cadd2", "C4 D4 E4 G4", None),
        ("Cadd2", "C4 E4 G4 D5", "Cadd9"),
        ("Cadd9", "C4 E4 G4", None),
        ("Cmadd11", "C4 Eb4 F4 G4", "Cmadd4"),
        ("C9", "C4 D4 E4 G4 Bb4", None),
        ("C9", "C4 E4 G4 Bb4 D5", None),
        ("C7add13", "C3 A3 Bb3 E4", None),
    ],
)
def test_where_an_added_tone_lies(symbol, notes, otherwise):
    pitches = [Pitch.parse(note) for note in notes.split()]
    broken = Chord.parse(symbol).broken_voicing_rules(pitches)
    assert [rule.otherwise for rule in broken] == ([otherwise] if otherwise else [])
    for rule in broken:
        assert rule.tone.spelled in rule.words
        assert not Chord.parse(rule.otherwise).broken_voicing_rules(pitches)


@pytest.mark.parametrize(
    ("symbol", "parts"),
    [
        ("F#m7b5/A", ("F", "#", "m", ("7", "b5"), "A", "")),
        ("BbmMaj7", ("B", "b", "m", ("maj7",), "", "")),
        ("C7(no5)/Eb", ("C", "", "", ("7", "(no5)"), "E", "b")),
        ("Gsus4", ("G", "", "", ("sus4",), "", "")),
        ("C6/9", ("C", "", "", ("6/9",), "", "")),
    ],
)
def test_parts_for_typesetting(symbol, parts):
    found = Chord.parse(symbol).parts
    assert (
        found.root,
        found.accidental,
        found.quality,
        found.raised,
        found.bass,
        found.bass_accidental,
    ) == parts


def test_a_polychord_keeps_both_chords():
    chord = Chord.parse("(D)/(C7)")
    assert (chord.root, chord.bass) == (PitchName.parse("C"), PitchName.parse("C"))
    assert chord.upper == Chord.parse("D")
    assert chord.parts.upper == Chord.parse("D").parts
    assert chord.transposed(Interval.parse("M2")).symbol == "(E)/(D7)"
    with pytest.raises(TheoryError):
        chord.over(PitchName.parse("E"))


def test_an_augmented_sixth_is_no_symbol_to_move():
    chord = Numeral.parse("Ger65").chord(Key.parse("C minor"))
    for move in (lambda: chord.transposed(Interval.parse("M2")), lambda: chord.over(chord.bass)):
        with pytest.raises(TheoryError, match="Ger65"):
            move()
    assert str(chord) == "Ger65"


def test_a_degree_is_a_number_with_signs():
    assert read_degree("#11") == (11, 1)
    with pytest.raises(ValueError, match="not a degree"):
        read_degree("eleven")


def test_every_spelling_in_the_table_is_read_as_its_row():
    for spelling, core in core_spellings().items():
        # A sharp or flat would go to the root; those spellings are for use in parentheses.
        chord = Chord.parse("C" + spelling)
        assert chord.degrees == core.degrees, spelling
        assert not chord.redundancies, spelling


def test_no_spelling_stands_in_two_rows():
    rows = suffixes()
    for table in (core_spellings(), modifier_spellings()):
        bodies = {row.canonical for row in table.values()}
        is_core = "m7" in table
        mine = [r for r in rows if (r.degrees[0] == "1" and r.canonical != "no1") == is_core]
        assert {row.canonical for row in mine} == bodies
        assert sum(1 + len(row.synonyms) for row in mine) == len(table)


def test_a_handbook_row_for_each_suffix():
    assert len({row.canonical for row in suffixes()}) > 60
    assert all(row.words and row.degrees for row in suffixes())


@given(strategies.chords, strategies.intervals.filter(lambda each: each.number < 9))
def test_transposing_commutes_with_spelling(chord, interval):
    moved = chord.transposed(interval)
    assert moved.names == tuple(name + interval for name in chord.names)
    assert moved.bass == chord.bass + interval
    assert moved.degrees == chord.degrees


@given(strategies.chords)
def test_printing_and_reading_come_back(chord):
    again = Chord.parse(chord.symbol)
    assert again == chord
    assert again.symbol == chord.symbol


@given(strategies.chords)
def test_tones_are_counted_from_the_root(chord):
    for tone in chord.tones:
        assert chord.root + tone.interval == tone.name
        assert tone.interval.number == tone.number
        assert chord.tone(tone.name) is not None
        assert chord.tone_numbered(tone.number).number == tone.number
    assert set(chord.names) <= set(chord.names_from_bass)
    assert chord.names_from_bass[0] == chord.bass
    assert chord.required


@given(CHORD_TEXT)
def test_any_text_is_a_chord_or_explained(text):
    check_any_text(Chord.parse, text)


@given(ANY_SYMBOL)
def test_any_symbol_comes_back_from_print(text):
    try:
        chord = Chord.parse(text)
    except TheoryError:
        return
    # What is said in vain may read otherwise once it is printed in order; it is a finding anyway.
    assert chord.redundancies or Chord.parse(chord.symbol) == chord


@given(ANY_SYMBOL)
def test_leaving_out_what_is_said_in_vain_ends_in_a_plain_symbol(text):
    try:
        chord = Chord.parse(text)
    except TheoryError:
        return
    names = set(chord.names)
    for _ in range(6):
        if not chord.redundancies:
            return
        chord = Chord.parse(chord.redundancies[0].suggestion)
        assert set(chord.names) == names
    pytest.fail(f"still says something twice: {chord}")


@pytest.mark.parametrize("case", cases(DATA / "chord_respellings.tsv"))
def test_a_symbol_respelled_to_a_key(case):
    chord = Chord.parse(case["chord"])
    assert chord.respelled(Key.parse(case["key"])).symbol == case["respelled"]


def test_an_augmented_sixth_is_spelled_by_its_key():
    chord = Numeral.parse("Ger65").chord(Key.parse("C minor"))
    assert chord.respelled(Key.parse("B major")) == chord


@given(strategies.chords, strategies.keys)
def test_respelling_keeps_the_sound_and_is_done_once(chord, key):
    other = chord.respelled(key)
    assert {name.cents for name in other.names_from_bass} == {
        name.cents for name in chord.names_from_bass
    }
    assert other.bass.cents == chord.bass.cents
    assert other.degrees == chord.degrees
    assert other.respelled(key) == other


@pytest.mark.parametrize("case", cases(DATA / "chord_redundancies.tsv"))
def test_the_plain_symbol_says_nothing_twice(case):
    chord = Chord.parse(case["text"])
    plain = chord.plain
    assert plain.symbol == (case["suggestion"] or chord.symbol)
    assert plain.degrees == chord.degrees
    assert plain.redundancies == ()


def test_more_than_one_surplus_goes():
    assert Chord.parse("C9b9(no11)").plain.symbol == "C7b9"
    assert Chord.parse("CmMaj7sus4(no3)").plain.symbol == "Cmaj7sus4"
