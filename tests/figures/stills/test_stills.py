"""Pictures for videos: they fill their frame, light what sounds, and are always the same."""

import re
import xml.etree.ElementTree as ET
from fractions import Fraction
from functools import cache
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from stavewright.figures.colours import colour
from stavewright.figures.drawer import Drawer
from stavewright.figures.figure import Drawing
from stavewright.figures.fonts import FILES, LICENCE, covered
from stavewright.figures.signs.outlines import CHARACTERS
from stavewright.figures.sound import perform
from stavewright.figures.stills import (
    Candidates,
    Frame,
    Look,
    Step,
    candidates,
    lights_in,
    png,
    steps,
    still,
)
from stavewright.figures.stills.table import table_drawing
from stavewright.figures.stills.timetable import frames_of, step_number, timetable
from stavewright.notation import parse_block
from stavewright.notation.score import Score

DATA = Path(__file__).parent / "data"
STEPS = yaml.safe_load((DATA / "steps.yaml").read_text("utf-8"))
EVERYTHING = (DATA / "everything.music").read_text("utf-8")
VIEWS = ("staff", "keyboard", "grid", "fretboard", "circle", "clock", "names", "ruler", "table")
DRAWER = Drawer()
FRAMES = (Frame(1920, 1080), Frame(1080, 1920), Frame(1080, 1080))
SVG = "{http://www.w3.org/2000/svg}"


def score_of(text: str) -> Score:
    block = parse_block(text)
    assert block.findings == ()
    return block.score


@cache
def found(view: str, text: str = EVERYTHING) -> Candidates:
    result = candidates(score_of(text), view, DRAWER)
    assert isinstance(result, Candidates), result
    return result


@pytest.mark.parametrize("view", VIEWS)
def test_every_view_fills_every_frame_within_its_margins(view: str) -> None:
    views = found(view)
    for frame in FRAMES:
        best = frame.best(views.drawings)
        place = frame.place(best)
        assert place.width <= frame.width * 0.9 + 0.01
        assert place.height <= frame.height * 0.9 + 0.01
        fills = max(place.width / frame.width, place.height / frame.height)
        assert fills == pytest.approx(0.9)
        assert all(frame.scale(best) >= frame.scale(other) for other in views.drawings)


def test_music_is_broken_into_rows_for_an_upright_frame() -> None:
    tune = "time: 4/4\nnotes: " + " | ".join(["1/4 C5 D5 E5 F5"] * 8)
    views = found("staff", tune)
    broad, upright = (frame.best(views.drawings) for frame in FRAMES[:2])
    assert broad.width / broad.height > upright.width / upright.height
    # Wider than in one row, or in a row a bar.
    one_row = max(views.drawings, key=lambda drawing: drawing.width)
    assert FRAMES[1].scale(upright) > 2 * FRAMES[1].scale(one_row)


@pytest.mark.parametrize("view", VIEWS)
def test_a_picture_is_whole_and_has_the_size_asked_for(view: str) -> None:
    frame = Frame(640, 360)
    drawing = frame.best(found(view).drawings)
    svg = still(drawing, frame, Look(), with_fonts=True)
    root = ET.fromstring(svg)
    assert (root.get("width"), root.get("height")) == ("640", "360")
    named = {use.get("href", "").removeprefix("#") for use in root.iter(SVG + "use")}
    assert named <= {element.get("id") for element in root.iter()}
    assert "@font-face" in svg
    assert "var(" not in svg
    picture = png(svg)
    assert picture == png(still(drawing, frame, Look()))
    assert int.from_bytes(picture[16:20]) == 640
    assert int.from_bytes(picture[20:24]) == 360


def test_letters_come_from_our_own_faces_alone() -> None:
    known = covered() | CHARACTERS
    for view in VIEWS:
        root = ET.fromstring(still(found(view).drawings[0], FRAMES[0], Look()))
        for text in root.iter(SVG + "text"):
            assert set("".join(text.itertext())) <= known, view
        for element in root.iter():
            family = element.get("font-family", "Stavewright")
            assert family.startswith("Stavewright"), family


def test_the_ground_is_transparent_unless_it_has_a_colour() -> None:
    drawing = found("clock").drawings[0]
    frame = Frame(64, 64)
    assert "<rect" not in still(drawing, frame, Look()).split("<svg", 2)[1]
    assert 'fill="ivory"' in still(drawing, frame, Look(background="ivory"))
    assert still(drawing, frame, Look(ink="white")).startswith("<svg")
    assert 'color="white"' in still(drawing, frame, Look(ink="white"))


@pytest.mark.parametrize("view", [view for view in VIEWS if view != "circle"])
def test_what_is_lit_has_a_halo_and_more_than_a_colour(view: str) -> None:
    drawing = found(view).drawings[0]
    lights = lights_in(drawing)
    lit = next(
        step.lit & lights for step in steps(perform(score_of(EVERYTHING))) if step.lit & lights
    )
    frame, look = Frame(320, 180), Look(light="teal")
    plain, shown = (ET.fromstring(still(drawing, frame, look, each)) for each in (frozenset(), lit))
    halos = [group for group in shown.iter(SVG + "g") if group.get("opacity") == "0.5"]
    assert halos
    # In black and white it still looks otherwise.
    black = Look(light="black")
    assert png(still(drawing, frame, black, lit)) != png(still(drawing, frame, black))
    # Nothing else moves: without halos and colours it is the same picture.
    for parent in list(shown.iter()):
        for halo in [child for child in parent if child in halos]:
            parent.remove(halo)
    assert [element.tag for element in shown.iter()] == [element.tag for element in plain.iter()]


@pytest.mark.parametrize("case", STEPS, ids=lambda case: case["title"])
def test_steps(case: dict[str, Any]) -> None:
    row = steps(perform(score_of(case["block"])))
    notes = [
        [
            round(float(step.start * 1000), 2),
            round(float(step.length * 1000), 2),
            " ".join(sorted(re.findall(r"id (\S+)", " , ".join(sorted(step.lit))))),
        ]
        for step in row
    ]
    assert notes == case["steps"]
    assert row[0].start == 0
    for before, after in pairwise(row):
        assert before.start + before.length == after.start


@given(
    st.lists(st.integers(1, 4_000_000), min_size=1, max_size=40), st.sampled_from([24, 25, 30, 60])
)
def test_frames_never_drift(lengths: list[int], rate: int) -> None:
    row, at = [], Fraction(0)
    for length in lengths:
        row.append(Step(at, Fraction(length, 1_000_000), frozenset()))
        at += row[-1].length
    frames = frames_of(row, rate)
    assert frames[0][0] == 0
    for step, (first, count) in zip(row, frames, strict=True):
        assert abs(Fraction(first, rate) - step.start) <= Fraction(1, 2 * rate)
        assert count >= 0
    assert sum(count for _, count in frames) == int(at * rate + Fraction(1, 2))


def test_the_timetable_can_be_read_by_a_spreadsheet() -> None:
    row = [
        Step(Fraction(0), Fraction(5, 8), frozenset()),
        Step(Fraction(5, 8), Fraction(1), frozenset()),
    ]
    assert [line.split("\t") for line in timetable(row).splitlines()] == [
        ["step", "start_seconds", "length_seconds"]
        + [f"{word}_at_{rate}" for rate in (25, 30) for word in ("start_frame", "frames")],
        ["001", "0.000000", "0.625000", "0", "16", "0", "19"],
        ["002", "0.625000", "1.000000", "16", "25", "19", "30"],
    ]
    assert step_number(0, 12_345) == "00001"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("wide", "a size is written like 1920x1080"),
        ("1920", "a size is written like 1920x1080"),
        ("10x10", "10x10 is no size for a video"),
        ("9000x9000", "9000x9000 is no size for a video"),
    ],
)
def test_sizes_that_are_none(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=re.escape(words)):
        Frame.parse(text)


def test_sizes_and_colours_as_people_write_them() -> None:
    assert Frame.parse(" 1080×1920 ") == Frame(1080, 1920)
    assert [colour(text) for text in ("White", "#FFF", "darkgrey")] == ["white", "#fff", "darkgray"]
    with pytest.raises(ValueError, match="did you mean orange"):
        colour("ornge")
    with pytest.raises(ValueError, match="did you mean #8a2f1d"):
        colour("8a2f1d")
    with pytest.raises(ValueError, match=r"like #8a2f1d$"):
        colour("none")


def test_a_table_becomes_a_picture_with_all_its_words() -> None:
    markup = (
        '<table><thead><tr><th scope="col">A long heading of a column</th>'
        '<th scope="col">B</th></tr></thead>'
        '<tbody><tr data-key="60"><th scope="row">C &amp; D</th><td>1</td></tr>'
        '<tr><td colspan="2">nothing else at all in this row</td></tr></tbody></table>'
    )
    drawing = table_drawing(markup)
    root = ET.fromstring(drawing.markup)
    words = " ".join(text.text or "" for text in root.iter(SVG + "text"))
    assert words == "A long heading of a column B C & D 1 nothing else at all in this row"
    assert lights_in(drawing) == {"key 60"}
    assert isinstance(drawing, Drawing)
    assert all(float(text.get("x", "0")) < drawing.width for text in root.iter(SVG + "text"))


def test_faces_are_free_renamed_and_have_what_they_claim() -> None:
    assert "SIL OPEN FONT LICENSE Version 1.1" in LICENCE.read_text("utf-8")
    for file in FILES[:-1]:
        font = TTFont(BytesIO(file.read_bytes()))
        names = {record.nameID: str(record) for record in font["name"].names}
        assert names[1].startswith("Stavewright ")
        assert not any("Liberation" in names[number] for number in (1, 4, 6))
        assert "SIL Open Font License, Version 1.1" in names[13]
        assert "2010 Google" in names[0]
        assert covered() <= set(map(chr, font.getBestCmap()))
    assert {*"Üßéñçøłžğ–—“”‘’…ΩΔЖя½₄∅→−×°"} - covered() <= {"∅"}
