"""Tables, realised notes, and values that other rooms take from this one."""

from __future__ import annotations

import pickle
import re

import pytest

from stavewright.notation import parse_block, parse_claim
from stavewright.notation.clefs import CLEFS, OTHER_CLEF_NAMES
from stavewright.notation.fields import READERS
from stavewright.notation.percussion import GENERAL_MIDI_DRUMS, SHORT_DRUM_NAMES, drum_key
from stavewright.notation.realise import realise
from stavewright.notation.source import SourceLine, SourceText, Span
from stavewright.notation.staves_field import voice_name_problem
from stavewright.notation.vocabulary import (
    EVENT_WORDS,
    FIELD_NAMES,
    FIELDS,
    LINES,
    MARKS,
    SUFFIXES,
    VIEWS,
)

from .block_files import EXAMPLES, all_cases


def test_the_percussion_map_is_general_midi() -> None:
    # General MIDI 1 Sound Set, percussion key map (MMA, 1991): keys 35 to 81, none left out.
    assert list(GENERAL_MIDI_DRUMS.values()) == list(range(35, 82))
    assert drum_key("acoustic-snare") == ("acoustic-snare", 38)
    assert drum_key("closed-hi-hat") == ("closed-hi-hat", 42)
    assert drum_key("crash-cymbal-2") == ("crash-cymbal-2", 57)
    assert drum_key("open-triangle") == ("open-triangle", 81)
    assert set(SHORT_DRUM_NAMES.values()) <= set(GENERAL_MIDI_DRUMS)
    assert not set(SHORT_DRUM_NAMES) & set(GENERAL_MIDI_DRUMS)


def test_every_clef_has_a_sign_on_a_line() -> None:
    assert all(clef.sign in ("G", "F", "C", "perc") for clef in CLEFS.values())
    assert all(1 <= clef.line <= 5 and clef.meaning for clef in CLEFS.values())
    assert set(OTHER_CLEF_NAMES.values()) <= set(CLEFS)


def test_every_field_has_a_reader_and_the_other_way_round() -> None:
    assert set(READERS) == FIELD_NAMES


@pytest.mark.parametrize("word", FIELDS, ids=lambda word: word.name)
def test_the_example_of_each_field_is_read(word) -> None:
    voices = {"clef": "notes: C4", "transposes": "staves: treble(clarinet)"}
    block = parse_block(f"{word.example}\n{voices.get(word.name, '')}")
    assert block.findings == ()


@pytest.mark.parametrize("word", [*LINES, *VIEWS], ids=lambda word: word.name)
def test_the_example_of_each_line_and_view_is_read(word) -> None:
    other = {
        "words": "staves: treble(soprano alto)\nalto: C4 D4 E4 F4",
        "bass-figures": "notes: 1/4 G2 G2",
        "numerals": "key: C major\ntime: 4/4",
    }
    assert parse_block(f"{word.example}\n{other.get(word.name, '')}").findings == ()


@pytest.mark.parametrize("word", [*EVENT_WORDS, *SUFFIXES], ids=lambda word: word.name)
def test_the_example_of_each_event_word_is_read(word) -> None:
    after = "" if re.search(r"[A-G]#?\d", word.example) else " 1/4 C4"
    assert parse_block(f"notes: {word.example}{after}").findings == ()


def test_every_mark_is_explained() -> None:
    assert {word.name for word in SUFFIXES if word.name[0] == "."} == {f".{mark}" for mark in MARKS}


def test_words_of_the_language_name_no_voice() -> None:
    for word in (*FIELDS, *LINES, *EVENT_WORDS):
        if word.name != "bass-figures":
            assert voice_name_problem(word.name)
    assert voice_name_problem("violin-2") is None


REALISED = {
    # Octave 4 for the root, close position, a slash bass in octave 3 (language.md).
    "chords: C": "C4 E4 G4",
    "chords: Am7": "A4 C5 E5 G5",
    "chords: F/A": "A3 F4 A4 C5",
    "chords: C/D": "D3 C4 E4 G4",
    "chords: G7/F": "F3 G4 B4 D5 F5",
    "chords: C9": "C4 E4 G4 Bb4 D5",
    "chords: C G | Am": "C4 E4 G4, G4 B4 D5 | A4 C5 E5",
    "chords: C rest F": "C4 E4 G4, space, F4 A4 C5",
    # Numerals in a key are a list of chords too; augmented sixths close up from their bass.
    "key: C major\nnumerals: I V6 | V7/V": "C4 E4 G4, B3 G4 B4 D5 | D4 F#4 A4 C5",
    "key: A minor\nnumerals: iv It6 V": "D4 F4 A4, F4 A4 D#5, E4 G#4 B4",
    "chords: C G\nkey: A minor\nnumerals: III VII": "C4 E4 G4, G4 B4 D5",
    # A scale goes up to its closing note; the melodic minor comes down another way.
    "scale: D dorian": "D4, E4, F4, G4, A4, B4, C5, D5",
    "scale: D2 dorian": "D2, E2, F2, G2, A2, B2, C3, D3",
    "scale: A3 melodic minor": ("A3, B3, C4, D4, E4, F#4, G#4, A4, G4, F4, E4, D4, C4, B3, A3"),
    "scale: C4 steps 200 150 150 200 200 150 150": ("C4, D4, E(-50)4, F4, G4, A4, B(-50)4, C5"),
}


@pytest.mark.parametrize(("text", "expected"), REALISED.items(), ids=REALISED.keys())
def test_realised_notes(text: str, expected: str) -> None:
    score = realise(parse_block(text).score)
    (voice,) = score.voices
    bars = []
    for index in range(len(score.bars)):
        events = [event for event in voice.events if event.bar == index]
        bars.append(", ".join(" ".join(str(h.sound) for h in e.heads) or "space" for e in events))
    assert " | ".join(bars) == expected
    assert all(event.duration == 0 and event.value is None for event in voice.events)
    starts = [event.start for event in voice.events]
    assert starts == sorted(set(starts)), "each note has a moment of its own"
    assert realise(score) is score


@pytest.mark.parametrize(
    ("text", "starts"),
    [
        ("chords: C G | F rest\nkey: C major\nnumerals: I V | IV", [0, 1, 2]),
        ("key: C major\nnumerals: I ii | IV", [0, 1, 2]),
        ("scale: D dorian\nkey: C major\nnumerals: ii iii IV", [0, 0.25, 0.5]),
    ],
)
def test_numerals_stand_over_the_notes_that_were_written(text: str, starts: list[float]) -> None:
    score = realise(parse_block(text).score)
    assert [float(numeral.start) for numeral in score.numerals] == starts
    assert all(numeral.duration > 0 for numeral in score.numerals)


def test_one_chord_is_for_a_whole_scale() -> None:
    score = realise(parse_block("scale: D dorian\nchords: Dm7").score)
    assert (score.chords[0].start, score.chords[0].end) == (0, score.bars[0].length)


def test_a_low_scale_stands_on_the_bass_staff_unless_a_clef_is_named() -> None:
    assert realise(parse_block("scale: D2 dorian").score).staves[0].clef == "bass"
    assert realise(parse_block("scale: D2 dorian\nclef: alto").score).staves[0].clef == "alto"


@pytest.mark.parametrize(
    "text",
    ["notes: C4", "time: 4/4\nchords: C | F", "title: nothing", "scale: D dorian\nnotes: C4"],
)
def test_what_has_notes_or_a_metre_is_not_realised(text: str) -> None:
    score = parse_block(text).score
    assert realise(score) is score


def test_blocks_and_claims_pickle() -> None:
    for _, case in all_cases():
        block = parse_block(case.source)
        assert pickle.loads(pickle.dumps(block)) == block
    claim = parse_claim("chord: F7 = F A C Eb")
    assert pickle.loads(pickle.dumps(claim)) == claim


def test_spans_are_the_files_own_inside_an_indented_fence() -> None:
    lines = (SourceLine("key: H minor", 12, 5), SourceLine("notes: C4 x4", 13, 5))
    source = SourceText("a.md", lines, Span("a.md", 11, 5, 13))
    key, note = parse_block(source).findings
    assert key.span == Span("a.md", 12, 10, 11)
    assert note.span == Span("a.md", 13, 15, 17)


def test_reading_does_not_depend_on_order_of_calls() -> None:
    texts = [path.read_text(encoding="utf-8") for path in sorted(EXAMPLES.glob("*.music"))]
    once = [parse_block(text) for text in texts]
    assert [parse_block(text) for text in reversed(texts)] == list(reversed(once))
