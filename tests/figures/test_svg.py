"""Drawings that may stand in any page: no ids that clash, no style, the reader's own colour."""

import re

import pytest
from lxml import etree

from stavewright.figures import draw, glyph_sheet, glyphs_in
from stavewright.figures.drawer import Drawer
from stavewright.figures.engraver import Pool
from stavewright.figures.figure import Drawing, Figure, SpokenText
from stavewright.figures.staff import NARROW
from stavewright.figures.svg.titles import described, labelled, titled
from tests.figures.scores import CONSTRUCTS, mei_text, read, written

SVG = "{http://www.w3.org/2000/svg}"
TEXT = SVG + "text"


@pytest.fixture(scope="module")
def figures() -> dict[str, Figure]:
    with Pool() as pool:
        drawn = {path.stem: draw(read(path), pool)[0] for path in CONSTRUCTS}
    assert all(isinstance(figure, Figure) for figure in drawn.values())
    return {name: figure for name, figure in drawn.items() if isinstance(figure, Figure)}


def _drawings(figures: dict[str, Figure]) -> list[Drawing]:
    both = [(figure.wide, figure.narrow) for figure in figures.values()]
    return [drawing for pair in both for drawing in pair if drawing is not None]


def test_nothing_that_a_page_forbids(figures: dict[str, Figure]) -> None:
    for drawing in _drawings(figures):
        root = etree.fromstring(drawing.markup)
        tags = {etree.QName(e).localname for e in root.iter()}
        assert tags <= {
            *("svg", "title", "desc", "defs", "g", "path", "use", "text", "tspan"),
            *("rect", "ellipse", "circle", "polygon", "polyline"),
        }
        assert all("style" not in e.attrib for e in root.iter())
        assert not any(str(name).startswith("on") for e in root.iter() for name in e.attrib)


def test_no_colour_but_the_readers(figures: dict[str, Figure]) -> None:
    for drawing in _drawings(figures):
        root = etree.fromstring(drawing.markup)
        inks = {e.get(a) for e in root.iter() for a in ("fill", "stroke", "color") if e.get(a)}
        assert inks <= {"currentColor", "none"}


def test_no_ids_and_every_use_is_met(figures: dict[str, Figure]) -> None:
    for drawing in _drawings(figures):
        root = etree.fromstring(drawing.markup)
        assert not [e for e in root.iter() if e.get("id")]
        uses = {e.get("href", "").removeprefix("#") for e in root.iter(SVG + "use")}
        sheet = etree.fromstring(glyph_sheet(glyphs_in(drawing.markup)) or "<svg/>")
        assert {e.get("id") for e in sheet.iter() if e.get("id")} == uses


def test_notes_can_be_found_again_and_nothing_else_is_named(figures: dict[str, Figure]) -> None:
    root = etree.fromstring(figures["cadence"].wide.markup)
    names = {e.get("data-id") for e in root.iter() if e.get("data-id")}
    assert names == {
        *("right-0", "right-1", "right-2"),
        *("left-0", "left-0.0", "left-0.1", "left-1", "left-1.0", "left-1.1"),
    }


def test_emphasis_is_a_ring_round_the_head(figures: dict[str, Figure]) -> None:
    root = etree.fromstring(figures["cadence"].wide.markup)
    (note,) = (e for e in root.iter(SVG + "g") if "hl" in (e.get("class") or "").split())
    assert note.get("data-id") == "right-2"
    assert [e.get("fill") for e in note.iter() if e.get("class") == "ring"] == ["none"]


def test_a_whole_chord_has_one_ring(figures: dict[str, Figure]) -> None:
    root = etree.fromstring(figures["long-labels"].wide.markup)
    assert len([e for e in root.iter() if e.get("class") == "ring"]) == 1


def test_the_size_is_written_and_seen(figures: dict[str, Figure]) -> None:
    for drawing in _drawings(figures):
        root = etree.fromstring(drawing.markup)
        assert (float(root.get("width", 0)), float(root.get("height", 0))) == (
            drawing.width,
            drawing.height,
        )
        _, _, width, height = (float(number) for number in root.get("viewBox", "").split())
        assert width / height == pytest.approx(drawing.width / drawing.height, rel=0.01)


def test_text_holds_no_private_characters(figures: dict[str, Figure]) -> None:
    for drawing in _drawings(figures):
        assert not re.search("[\ue000-\uf8ff]", drawing.markup)


def test_stacked_figures_begin_at_one_place(figures: dict[str, Figure]) -> None:
    """V with 6 over 5, then /V: the 5 goes back by the width of the 6, the slash by nothing."""
    root = etree.fromstring(figures["numerals-all"].wide.markup)
    (text,) = (
        e for e in root.iter(SVG + "text") if "".join(map(str, e.itertext())).strip() == "V65"
    )
    upper, lower = (e for e in text.iter(SVG + "tspan") if e.text in ("6", "5"))
    size = float(upper.get("font-size", "0"))
    assert float(lower.get("dx", 0)) == pytest.approx(-size / 2, abs=1)


def test_narrow_only_where_the_wide_one_does_not_fit(figures: dict[str, Figure]) -> None:
    for name, figure in figures.items():
        assert figure.wide.width <= 770, name
        if figure.narrow is None:
            assert figure.wide.width <= 350, name
        else:
            assert 340 < figure.wide.width > figure.narrow.width, name
            assert figure.narrow.width <= 350, name


def test_the_name_is_the_spoken_line(figures: dict[str, Figure]) -> None:
    figure = figures["cadence"]
    root = etree.fromstring(figure.wide.markup)
    assert (root.get("role"), root.get("aria-label")) == ("img", figure.spoken.line)


def test_two_drawings_share_one_description(figures: dict[str, Figure]) -> None:
    figure = figures["wide"]
    assert figure.narrow is not None
    wide = etree.fromstring(described(figure.wide, "figure:1:1", figure.spoken.bars).markup)
    narrow = etree.fromstring(described(figure.narrow, "figure:1:1").markup)
    assert wide.get("aria-describedby") == narrow.get("aria-describedby") == wide[0].get("id")
    assert (wide[0].tag, wide[0].text) == (SVG + "desc", " ".join(figure.spoken.bars))
    assert "desc" not in {etree.QName(e).localname for e in narrow.iter()}


def test_a_file_has_title_and_description_inside(figures: dict[str, Figure]) -> None:
    spoken = figures["cadence"].spoken
    root = etree.fromstring(
        titled(Drawing(f'<svg xmlns="{SVG[1:-1]}"></svg>', 1, 1), spoken).markup
    )
    assert root.get("role") == "img"
    title, description = root[0], root[1]
    assert (title.tag, title.text) == (SVG + "title", spoken.line)
    assert (description.tag, description.text) == (SVG + "desc", " ".join(spoken.bars))
    assert root.get("aria-labelledby") == title.get("id")
    assert root.get("aria-describedby") == description.get("id")


def test_a_table_is_its_own_text() -> None:
    table = Drawing("<table></table>", 10, 10)
    assert titled(table, SpokenText("A table.", ())) == table
    assert labelled(table, "A table.") == table
    assert described(table, "figure:1:1", ("A row.",)) == table


def test_text_in_names_is_escaped() -> None:
    bare = Drawing('<svg width="1"></svg>', 1, 1)
    assert etree.fromstring(titled(bare, SpokenText("<&>", ())).markup)[0].text == "<&>"
    named = described(labelled(bare, '<&"'), "figure:1:1", ("<&>",))
    root = etree.fromstring(named.markup)
    assert (root.get("aria-label"), root[0].text) == ('<&"', "<&>")


def test_the_circle_of_an_open_hat_is_clear_of_its_stem(figures: dict[str, Figure]) -> None:
    root = etree.fromstring(figures["open-hats"].wide.markup)
    circles = [use for use in root.iter(SVG + "use") if use.get("href") == "#E5E7"]
    assert len(circles) == 4
    for circle in circles:
        stems = [path.get("d", "") for path in circle.getparent().iterfind(SVG + "path")]
        tops = [int(y) + int(up) for d in stems for y, up in re.findall(r"M\d+ (\d+)v(-\d+)", d)]
        assert all(float(circle.get("y", 0)) < top for top in tops)


def test_dynamics_over_rests_are_drawn(figures: dict[str, Figure]) -> None:
    """SMuFL 1.4: p U+E520, f U+E522, mf U+E52D, ff U+E52F."""
    names = glyphs_of(figures["dynamics-over-rests"].wide)
    assert sorted(name for name in names if name.startswith("E52")) == [
        *("E520", "E520", "E522", "E52D", "E52F"),
    ]


def glyphs_of(drawing: Drawing) -> list[str]:
    """The name of each glyph in a drawing, as often as it stands there."""
    root = etree.fromstring(drawing.markup)
    return [use.get("href", "").removeprefix("#") for use in root.iter(SVG + "use")]


def test_bar_numbers_of_two_figures_are_inside() -> None:
    rows = written("time: 4/4\nnotes: 1/4 " + " | ".join(["C4 D4 E4 F4"] * 12))
    (drawing,) = Drawer().draw(mei_text(rows), (NARROW,))
    root = etree.fromstring(drawing.markup)
    left = float(root.get("viewBox", "").split()[0])
    numbers = [e for e in root.iter(SVG + "text") if (e.text or "").isdigit()]
    assert max(int(number.text or "") for number in numbers) >= 10
    for number in numbers:
        half = len(number.text or "") * float(number.get("font-size", 0)) / 4
        assert float(number.get("x", 0)) - half >= left


def test_numerals_are_clear_of_the_figures_above_them_and_inside() -> None:
    """Raised and stacked figures of a numeral rise from its baseline; the engraver forgets it."""
    score = written(
        "key: G minor\ntime: 4/4\nclef: bass\nnumerals: i | V65 V(64)\n"
        "notes: 1/1 G2 | 1/2 D2 D2\nbass-figures: rest | 6&5&4 6&4\n"
    )
    (drawing,) = Drawer().draw(mei_text(score), (NARROW,))
    root = etree.fromstring(drawing.markup)
    texts = [(float(e.get("y", 0)), "".join(map(str, e.itertext()))) for e in root.iter(TEXT)]
    (numerals,) = {y for y, words in texts if "V" in words}
    lowest = max(y for y, words in texts if words in "654")
    size = 405
    assert numerals - lowest >= 1.2 * size
    _, top, _, height = map(float, root.get("viewBox", "").split())
    assert numerals + 0.25 * size <= top + height
