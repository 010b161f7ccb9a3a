"""What is played, and when: cases worked out by hand, and laws that hold for every block."""

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stavewright.figures.sound import Performance, encode, perform, perform_claim
from stavewright.figures.sound.clockwork import Clock
from stavewright.figures.sound.route import route
from stavewright.figures.timeline import TempoMap, onsets
from stavewright.notation import parse_claim
from stavewright.notation.score import Drum, EventMark, Score
from stavewright.notation.source import Span
from tests.cases import Case, cases
from tests.figures.scores import CONSTRUCTS, EXAMPLES, read
from tests.figures.views.blocks import score_of
from tests.strategies import score_times, tempo_maps

ORNAMENTS = {EventMark.TRILL, EventMark.TURN, EventMark.MORDENT}
DATA = Path(__file__).parent / "data"
SCORES = [pytest.param(read(path), id=path.stem) for path in (*CONSTRUCTS, *EXAMPLES)]


def ms(seconds: Fraction) -> str:
    return f"{round(float(seconds) * 1000, 2):g}"


def name_of(sound: object) -> str:
    return sound.name if isinstance(sound, Drum) else str(sound)


def played(block: str) -> Performance:
    return perform(score_of(block.replace("\\n", "\n")))


@pytest.mark.parametrize("case", cases(DATA / "heard.tsv"))
def test_heard(case: Case) -> None:
    performance = played(case["block"])
    seconds = performance.resolution.seconds
    heard = [
        f"{name_of(note.sound)} {ms(seconds(note.attack))}-{ms(seconds(note.release))}"
        for note in performance.notes
    ]
    assert sorted(heard) == sorted(case["heard"].split(", "))


@pytest.mark.parametrize("case", cases(DATA / "clicks.tsv"))
def test_clicks(case: Case) -> None:
    performance = played(case["block"])
    seconds = performance.resolution.seconds
    clicks = [f"{ms(seconds(each.at))}{'*' * each.is_first}" for each in performance.clicks]
    assert " ".join(clicks) == case["clicks"]


@pytest.mark.parametrize("case", cases(DATA / "claims.tsv"))
def test_claims(case: Case) -> None:
    claim = parse_claim(case["claim"], Span("a.md", 1, 1, 1))
    sound = perform_claim(claim) if claim else None
    notes, clicks = (sound.notes, sound.clicks) if sound else ((), ())
    heard = [f"{note.pitch} {note.start / 1000:g}" for note in notes]
    heard += [f"{click.name or '.'} {click.start / 1000:g}" for click in clicks]
    assert ", ".join(heard) == case["heard"]


@pytest.mark.parametrize("score", SCORES)
def test_plain_passages_sound_when_the_rhythm_grid_says(score: Score) -> None:
    """Without repeats and signs that change how it is played, page and sound agree."""
    events = [event for voice in score.voices for event in voice.events]
    altered = {EventMark.FERMATA, EventMark.ARPEGGIO, *ORNAMENTS}
    straight = list(route(score.bars))
    if any(e.marks & altered or e.graces or not e.duration for e in events):
        pytest.skip("not plain")
    if straight != list(range(len(score.bars))):
        pytest.skip("has repeats")
    expected = sorted((hit.seconds, hit.head.sound.key_number) for hit in onsets(score))
    performance = perform(score)
    found = [
        (performance.resolution.seconds(note.attack), note.sound.key_number)
        for note in performance.notes
        if note.ids
    ]
    assert sorted(found) == expected


@pytest.mark.parametrize("score", SCORES)
def test_every_struck_note_is_played_as_often_as_its_bar(score: Score) -> None:
    order = route(score.bars)
    performance = perform(score)
    lit = [name for note in performance.notes for name in note.ids]
    lit += [name for each in performance.lit for name in each.id.split(" ")]
    for voice in score.voices:
        for number, event in enumerate(voice.events):
            times = order.count(event.bar) if event.duration else 1
            names = {name for name in lit if name.split(".")[0] == f"{voice.name}-{number}"}
            heads = [name for name in names if ".g" not in name]
            assert len(heads) == len(event.heads)
            assert all(lit.count(name) == times for name in heads)


@pytest.mark.parametrize("score", SCORES)
def test_json_says_the_same_to_a_microsecond(score: Score) -> None:
    performance = perform(score)
    seconds = performance.resolution.seconds
    data = json.loads(encode(performance))
    rows = sorted(data["notes"] + data["hits"])
    expected = sorted(
        (seconds(note.attack + performance.lead), note.sound.key_number, note.voice)
        for note in performance.notes
    )
    assert len(rows) == len(expected)
    for row, (seconds, _, _) in zip(rows, expected, strict=True):
        assert abs(Fraction(row[0], 1_000_000) - seconds) <= Fraction(1, 2_000_000)
        assert row[0] >= 0
        assert row[1] >= 0


@given(tempo_maps, st.lists(score_times))
def test_a_clock_is_as_exact_as_fractions(tempos: TempoMap, moments: list[Fraction]) -> None:
    clock = Clock.of(tempos, moments)
    resolution = clock.resolution
    for time in moments:
        tick = resolution.in_ticks(time)
        assert Fraction(tick, resolution.ticks) == time
        assert resolution.seconds(clock.at(tick)) == tempos.seconds_at(time)
        assert clock.tempo_at(tick) == tempos.tempo_at(time)


def test_json_cannot_close_its_element() -> None:
    performance = played("time: 1/4\\nnotes: 1/4 C4")
    sly = replace(performance, voices=("</script><b>",))
    assert "<" not in encode(sly)
    assert json.loads(encode(sly))["voices"] == ["</script><b>"]


@pytest.mark.parametrize(
    ("tuning", "a4"), [("", 440.0), ("tuning: A4 442\n", 442.0), ("tuning: C4 256\n", 430.539)]
)
def test_a4_follows_the_tuning(tuning: str, a4: float) -> None:
    """Scientific pitch, C4 at 256 Hz, has A4 at 430.54 Hz in equal temperament."""
    performance = played(f"{tuning}time: 1/4\nnotes: 1/4 A4")
    assert float(performance.a4) == pytest.approx(a4, abs=0.001)


values = st.lists(st.sampled_from(["1/4", "1/8", "1/16", "3/8", "1/2"]), min_size=1, max_size=12)


@settings(max_examples=60, deadline=None)
@given(values, st.integers(20, 300), st.booleans())
def test_without_swing_and_shift_a_note_sounds_at_its_fraction(
    lengths: list[str], tempo: int, is_repeated: bool
) -> None:
    """Start × 60 / (tempo × unit), the definition of a tempo; a repeat follows without a gap."""
    notes = " ".join(f"{length} C4" for length in lengths)
    sign = ":|" if is_repeated else "|"
    performance = played(f"tempo: 1/4 at {tempo}\nnotes: {notes} {sign}")
    pace = Fraction(60 * 4, tempo)
    expected, at = [], Fraction(0)
    for length in lengths * (2 if is_repeated else 1):
        expected.append((at * pace, (at + Fraction(length)) * pace))
        at += Fraction(length)
    seconds = performance.resolution.seconds
    found = [(seconds(note.attack), seconds(note.release)) for note in performance.notes]
    assert found == expected
    assert seconds(performance.length) == at * pace
