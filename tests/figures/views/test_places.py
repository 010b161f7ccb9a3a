"""Whether marks stand where the music puts them."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stavewright.figures.stretches import stretches
from stavewright.figures.views import VIEWS
from stavewright.figures.views.canvas import Canvas
from stavewright.figures.views.circle import stops
from stavewright.figures.views.clock import spelled_classes, steps_round
from stavewright.figures.views.keyboard import KeyRange, key_ranges
from stavewright.figures.views.marks import mark
from stavewright.figures.views.names import drums, reference
from stavewright.figures.views.neck import fret_range, neck_pitches, places
from stavewright.figures.views.shapes import GUITAR, shapes
from stavewright.figures.views.tones import Tone, tones
from stavewright.theory import Pitch
from tests.cases import Case, cases
from tests.figures.views.blocks import PATH, score_of
from tests.figures.views.drawings import hits, texts
from tests.figures.views.drawings import shapes as drawn
from tests.strategies import pitches

usual_pitches = pitches.filter(lambda pitch: 0 <= pitch.octave <= 8)
tone_lists = st.lists(usual_pitches, min_size=1, max_size=8, unique=True).map(
    lambda found: tuple(Tone(pitch, ("notes",), emphasised=False) for pitch in sorted(found))
)


def _in_words(rows: list[KeyRange]) -> str:
    return " ".join(f"{row.low}-{row.high}" for row in rows)


@pytest.mark.parametrize("case", cases(PATH.with_name("key_ranges.tsv")))
def test_key_ranges(case: Case) -> None:
    found = tones(score_of(f"notes: {case['notes']}\n"))
    assert _in_words(key_ranges(found, 4)) == case["wide"]
    assert _in_words(key_ranges(found, 2)) == case["narrow"]


@given(tone_lists, st.integers(1, 4))
def test_every_tone_has_one_row_of_keys(found: tuple[Tone, ...], octaves: int) -> None:
    rows = key_ranges(found, octaves)
    for tone in found:
        assert sum(row.holds(tone) for row in rows) == 1
    for low, high in pairwise(rows):
        assert low.high < high.low
    for row in rows:
        assert {row.low % 12, row.high % 12} <= {0, 2, 4, 5, 7, 9, 11}
        assert len(row.whites) <= 7 * octaves + 1


@given(st.integers(20, 100), st.integers(20, 100))
def test_keys_stand_in_order(one: int, other: int) -> None:
    row = KeyRange(12, 119)
    assert (one < other) == (row.middle(one) < row.middle(other))
    assert row.middle(one) < row.middle(one + 0.5) < row.middle(one + 1)


@given(usual_pitches, st.integers(0, 12), st.integers(0, 12))
def test_a_place_on_the_neck_sounds_its_pitch(pitch: Pitch, one: int, other: int) -> None:
    low, high = sorted((one, other))
    for row, fret in places(GUITAR, pitch, low, high):
        assert low <= fret <= high
        string = GUITAR[len(GUITAR) - 1 - row]
        assert string.cents + round(fret * 100) == pitch.cents


@pytest.mark.parametrize(
    ("option", "expected"),
    [("(5-9)", (5, 9)), ("(5–9)", (5, 9)), ("(0-24)", (0, 24)), ("(5 - 9)", (5, 9))],
)
def test_frets_asked_for(option: str, expected: tuple[int, int]) -> None:
    assert fret_range(score_of(f"notes: A3\nshow: fretboard{option}\n")) == expected


def test_frets_reach_the_highest_note() -> None:
    assert fret_range(score_of("notes: E4\n")) == (0, 5)
    assert fret_range(score_of("notes: C5\n")) == (0, 8)
    assert fret_range(score_of("notes: C(+50)5\n")) == (0, 9)
    assert fret_range(score_of("notes: C7\n")) == (0, 12)
    assert fret_range(score_of("scale: A3 minor pentatonic\n")) == (0, 12)


def test_a_scale_is_shown_in_every_octave_and_only_what_sounds_can_be_lit() -> None:
    """A minor pentatonic on a guitar has A on string 6 at fret 5 (common practice)."""
    score = score_of("scale: A3 minor pentatonic\nshow: fretboard\n")
    found = {(row, fret) for p in neck_pitches(score) for row, fret in places(GUITAR, p, 0, 12)}
    assert {(5, 5), (4, 0), (3, 7), (2, 2), (1, 10), (0, 5), (4, 12)} <= found
    assert not {(5, 1), (5, 4), (0, 2)} & found
    wide, _ = VIEWS["fretboard"].draw(score)
    marks = [shape for tag in ("circle", "rect") for shape in drawn(wide, tag)]
    assert len(marks) == len(found)
    keys = {shape["data-key"] for shape in marks if "data-key" in shape}
    assert keys == {"57", "60", "62", "64", "67", "69"}
    assert sum("width" in shape for shape in marks) == 7


@given(tone_lists)
def test_the_clock_goes_round_once(found: tuple[Tone, ...]) -> None:
    score = score_of(f"notes: {'&'.join(str(tone.pitch) for tone in found)}\n")
    names = spelled_classes(score)
    assert sum(steps_round(names)) == 1200
    assert all(step > 0 for step in steps_round(names))
    assert {name for spelled in names.values() for name in spelled} == {
        tone.pitch.name for tone in found
    }


def test_the_clock_has_c_at_the_top_and_f_sharp_at_the_bottom() -> None:
    wide, _ = VIEWS["clock"].draw(score_of("notes: C4 F#4\n"))
    dots = [dot for dot in drawn(wide, "circle") if dot["r"] == "6.5"]
    (top, bottom) = sorted(dots, key=lambda dot: float(dot["cy"]))
    assert top["cx"] == bottom["cx"] == str(int(wide.width / 2))
    assert tuple(words for words, *_ in texts(wide)[-2:]) == ("C", "F♯")


@pytest.mark.parametrize(
    ("block", "outlines"),
    [
        ("chords: G7 Db7\n", 2),
        ("chords: G7 Db7 G7\n", 2),
        ("key: C minor\nnumerals: i iv V7 viio7\n", 4),
        ("chords: G7\n", 1),
        ("chords: C Am F G D\n", 1),
        ("chords: C G\nnotes: C4&E4&G4 G4&B4&D5\n", 1),
    ],
)
def test_the_chords_of_a_short_list_are_told_apart(block: str, outlines: int) -> None:
    """Common practice, no source: pitch-class sets are drawn as polygons on the clock."""
    score = score_of(f"show: clock\n{block}")
    wide, _ = VIEWS["clock"].draw(score)
    polygons = drawn(wide, "polygon")
    assert len(polygons) == outlines
    assert len({shape.get("stroke-dasharray") for shape in polygons}) == outlines
    if outlines > 1:
        lit = {name for shape in polygons for name in shape["data-id"].split()}
        assert lit == {stretch.id for stretch in stretches(score)}


def test_a_tritone_substitute_is_half_a_turn() -> None:
    """Six half steps round the clock turn G7 into D flat 7: the corners lie straight across."""
    wide, _ = VIEWS["clock"].draw(score_of("chords: G7 Db7\nshow: clock\n"))
    one, other = (
        {tuple(map(float, corner.split(","))) for corner in shape["points"].split()}
        for shape in drawn(wide, "polygon")
    )
    middle = tuple((a + b) / 2 for a, b in zip(min(one), max(other), strict=True))
    turned = {(round(2 * middle[0] - x, 2), round(2 * middle[1] - y, 2)) for x, y in one}
    assert turned == other
    assert len(one & other) == 2


def test_a_moved_hit_is_drawn_where_it_sounds() -> None:
    """1/48 of a whole note is a twelfth of a quarter beat; swing 2:1 is two thirds of it."""
    score = score_of("time: 4/4\nswing: 1/8 2:1\nnotes: 1/4 C4 D4@-1/48 1/8 E4 F4 1/4 G4\n")
    wide, narrow = VIEWS["grid"].draw(score)
    assert narrow is not None
    for drawing in (wide, narrow):
        beats = {
            words: (left + right) / 2 for words, left, right, _ in texts(drawing) if words in "1234"
        }
        beat = beats["2"] - beats["1"]
        row = hits(drawing)
        expected = [0, 1 - 1 / 12, 2, 2 + 2 / 3, 3]
        assert row == pytest.approx([beats["1"] + place * beat for place in expected], abs=0.05)


def test_a_pickup_ends_on_the_bar() -> None:
    wide, _ = VIEWS["grid"].draw(score_of("time: 3/4\npickup: 1/4\nnotes: 1/4 C4 | C4 C4 C4\n"))
    assert [words for words, *_ in texts(wide) if words.isdigit()] == ["3", "1", "2", "3"]


def test_keys_stand_once_each_and_in_order() -> None:
    score = score_of(
        "key: C major\ntime: 4/4\nnumerals: I | V | key(G major) I | key(C major) I\n"
        "notes: 1/1 C4 | key(G major) G4 | G4 | C4\n"
    )
    assert [(stop.order, str(stop.key)) for stop in stops(score)] == [
        (1, "C major"),
        (2, "G major"),
    ]


@pytest.mark.parametrize(("tuning", "hertz"), [("", 440), ("A4 442", 442), ("C4 256", 430.539)])
def test_the_table_follows_the_tuning(tuning: str, hertz: float) -> None:
    """ISO 16 without a tuning; else from the pitch it names, in equal temperament."""
    score = score_of(f"{f'tuning: {tuning}' if tuning else ''}\nnotes: A4\n")
    assert reference(score) == pytest.approx(hertz, abs=0.001)
    wide, _ = VIEWS["names"].draw(score)
    assert f"<td>{hertz:.2f}</td>" in wide.markup


def test_the_table_counts_what_sounds() -> None:
    score = score_of(
        "time: 2/4\nstaves: treble(tune) drums(kick)\ntune: 1/4 C4&E4 C4\nkick: 1/4 x x"
    )
    wide, _ = VIEWS["names"].draw(score)
    assert [drum.key_number for drum in drums(score)] == [36]
    assert wide.markup.count('<th scope="row">') == len(tones(score)) + 1 == 3


def test_marks_of_eight_voices_differ_in_shape() -> None:
    drawings = set()
    for place in range(10):
        canvas = Canvas(20, 20)
        mark(canvas, place, 10, 10, 4.5)
        drawings.add(canvas.drawing().markup)
    assert len(drawings) == 10


def test_a_shape_tells_what_it_leaves_out() -> None:
    score = score_of("chords: C13\nstrings: G4 C4 E4 A4\n")
    (shape,) = shapes(score)
    assert shape.note == "without G, D and F"


@pytest.mark.parametrize(
    ("shift", "said"),
    [
        ("-1/48", ["early", "52.1 ms", "1/48"]),
        ("+1/64", ["late", "39.1 ms", "1/64"]),
        ("+12ms", ["late", "12 ms"]),
    ],
)
def test_the_grid_says_whether_a_hit_rushes_or_drags(shift: str, said: list[str]) -> None:
    """At 96 quarters a minute; common practice, no source: 52.08 ms early, 39.06 ms late."""
    score = score_of(f"time: 2/4\ntempo: 1/4 at 96\ndrums: 1/4 kick snare@{shift}\n")
    for drawing in VIEWS["grid"].draw(score):
        assert drawing is not None
        words = [words for words, *_ in texts(drawing)]
        assert [word for word in words if word in said] == said
        assert f"{said[0]}: {'rushes' if said[0] == 'early' else 'drags'}" in words
        (pointed,) = (shape for shape in drawn(drawing, "polygon") if "data-id" in shape)
        tip, back, _ = (float(corner.split(",")[0]) for corner in pointed["points"].split())
        assert (tip < back) == (said[0] == "early")


@pytest.mark.parametrize(
    ("notes", "is_as_written"), [("D3&A3&D4&F4", True), ("D3&F3&D5", False), ("F3&A3&E4", False)]
)
def test_a_symbol_is_fingered_by_its_notes_where_they_are_the_chord(
    notes: str, is_as_written: bool
) -> None:
    """Two tones of D minor, or three of another chord, are not D minor."""
    head = "accept: chord-label because it is"
    block = f"time: 4/4\nchords: Dm\nnotes: 1/1 {notes}\nshow: fretboard\n{head} for looking at\n"
    plain = score_of("time: 4/4\nchords: Dm\nshow: fretboard\n")
    (found,), (core,) = shapes(score_of(block)), shapes(plain)
    assert found.fingering is not None
    assert (found.fingering != core.fingering) == is_as_written
