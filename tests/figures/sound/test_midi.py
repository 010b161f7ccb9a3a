"""MIDI files as another library reads them."""

import io
from collections import Counter
from fractions import Fraction
from math import log2

import mido
import pytest

from stavewright.figures.midi import PARTS, midi_file
from stavewright.figures.sound import Performance, perform
from stavewright.notation.score import Drum, Score
from tests.figures.scores import CONSTRUCTS, EXAMPLES, read
from tests.figures.views.blocks import score_of

SCORES = [pytest.param(read(path), id=path.stem) for path in (*CONSTRUCTS, *EXAMPLES)]
_RANGE = 200
"""Cents of a whole pitch bend, as registered parameter 0 sets it."""


def reread(performance: Performance) -> mido.MidiFile:
    return mido.MidiFile(file=io.BytesIO(midi_file(performance, "A title")))


def sounds(midi: mido.MidiFile) -> list[tuple[float, float, int]]:
    """(seconds, cents above MIDI's note 0, channel) of every note, bends and tempos counted."""
    found, bends, at = [], Counter[int](), 0.0
    for message in midi:
        at += message.time
        if message.type == "pitchwheel":
            bends[message.channel] = message.pitch
        elif message.type == "note_on":
            cents = 100 * message.note + bends[message.channel] * _RANGE / 8192
            found.append((at, cents, message.channel))
    return found


def expected(performance: Performance, lead: float) -> list[tuple[float, float]]:
    shift = 1200 * log2(float(performance.a4) / 440)
    return [
        (
            float(performance.resolution.seconds(note.attack)) + lead,
            100 * note.sound.key_number + (0 if isinstance(note.sound, Drum) else shift),
        )
        for note in performance.notes
    ]


@pytest.mark.parametrize("score", SCORES)
def test_read_back_every_note_is_in_time_and_in_tune(score: Score) -> None:
    performance = perform(score)
    midi = reread(performance)
    assert midi.type == 1
    assert midi.ticks_per_beat == PARTS
    assert len(midi.tracks) == 1 + len(performance.voices)
    heard = sounds(midi)
    plain = expected(performance, 0.0)
    assert len(heard) == len(plain)
    if not heard:
        return
    lead = min(at for at, _, _ in heard) - min(at for at, _ in plain)
    due = expected(performance, lead)
    for at, cents in due:
        near = [c for when, c, _ in heard if abs(when - at) < 0.0015]
        assert any(abs(c - cents) <= 1 for c in near), (at, cents, near)


@pytest.mark.parametrize("score", SCORES)
def test_every_note_is_let_go_and_none_is_struck_while_it_sounds(score: Score) -> None:
    held: set[tuple[int, int]] = set()
    for message in reread(perform(score)):
        if message.type == "note_on":
            assert message.velocity > 0
            # Of a drum that is struck again the first stroke has died away.
            assert message.channel == 9 or (message.channel, message.note) not in held
            held.add((message.channel, message.note))
        elif message.type == "note_off":
            held.discard((message.channel, message.note))
    assert not held


def test_notes_that_differ_in_cents_have_channels_of_their_own() -> None:
    block = "time: 1/4\nnotes: 1/4 C4&E(-14)4&G(+2)4"
    heard = sounds(reread(perform(score_of(block))))
    assert len({channel for _, _, channel in heard}) == 3
    assert sorted(cents for _, cents, _ in heard) == pytest.approx([6000, 6386, 6702], abs=0.02)


def test_percussion_has_the_tenth_channel() -> None:
    heard = sounds(reread(perform(score_of("time: 2/4\ndrums: 1/4 kick snare"))))
    assert [(cents, channel) for _, cents, channel in heard] == [(3600, 9), (3800, 9)]


def test_chords_under_a_tune_have_a_track_of_their_own_and_are_softer() -> None:
    block = "time: 2/4\nchords: C\nnotes: 1/4 E5.trill C5"
    _, tune, chords = reread(perform(score_of(block))).tracks
    assert [track[0].name for track in (tune, chords)] == ["notes", "chords"]
    struck = [[m for m in track if m.type == "note_on"] for track in (tune, chords)]
    assert [m.note for m in struck[0]] == [76, 77, 76, 77, 76, 77, 76, 72]
    assert sorted(m.note for m in struck[1]) == [48, 52, 55]
    assert max(m.velocity for m in struck[1]) < min(m.velocity for m in struck[0])


@pytest.mark.parametrize(
    ("shift", "milliseconds"), [("-1/48", Fraction(-625, 12)), ("+1/64", Fraction(625, 16))]
)
def test_shifts_are_kept(shift: str, milliseconds: Fraction) -> None:
    """Common practice, no source: 52.08 ms early and 39.06 ms late at 96 quarters a minute."""
    block = f"time: 2/4\ntempo: 1/4 at 96\ndrums: 1/4 kick snare@{shift}"
    at = sounds(reread(perform(score_of(block))))[1][0]
    assert at * 1000 - 625 == pytest.approx(float(milliseconds), abs=0.04)


def test_what_holds_for_all_is_in_the_first_track() -> None:
    block = (
        "title: T\nkey: Eb minor\ntime: 6/8\ntempo: 3/8 at 80\n"
        "notes: 3/4 Eb4 | key(G# major) time(3/4) 3/4 G#4"
    )
    score = score_of(f"{block}\naccept: key-theoretical because it is one")
    first, second = reread(perform(score)).tracks
    said = [(m.type, m.time) for m in first]
    assert said == [
        ("track_name", 0),
        ("set_tempo", 0),
        ("time_signature", 0),
        ("key_signature", 0),
        ("time_signature", 3 * PARTS),
        ("key_signature", 0),
        ("end_of_track", 0),
    ]
    signs = [(m.numerator, m.denominator) for m in first if m.type == "time_signature"]
    assert signs == [(6, 8), (3, 4)]
    # A signature of eight sharps cannot be said; its practical equal is A flat major.
    assert [m.key for m in first if m.type == "key_signature"] == ["Ebm", "Ab"]
    assert [m.tempo for m in first if m.type == "set_tempo"] == [500_000]
    assert second.name == "notes"
