"""Small drawings: not a pixel off what the engraver drew, and as few bytes as promised."""

import re

import pytest
import resvg_py
from lxml import etree

from stavewright.figures import standalone
from stavewright.figures.drawer import Drawer, by_music
from stavewright.figures.fonts import FILES
from stavewright.figures.staff import WIDE
from stavewright.figures.svg.finish import finish, sheet_of
from tests.figures.blocks import engraving_jobs
from tests.figures.scores import CONSTRUCTS
from tests.figures.uncompacted import styled_drawer, uncompacted

SVG = "{http://www.w3.org/2000/svg}"
WIDE_FIXTURES = {f"{path.stem} at {WIDE}" for path in CONSTRUCTS}


@pytest.fixture(scope="module")
def pages() -> dict[str, str]:
    """The engraver's own pages, at every width that figures are drawn at."""
    return _pages(Drawer())


@pytest.fixture(scope="module")
def styled_pages() -> dict[str, str]:
    """The same with the engraver's style sheet, sizes in pixels."""
    return _pages(styled_drawer())


def _pages(drawer: Drawer) -> dict[str, str]:
    found: dict[str, str] = {}
    for name, jobs in engraving_jobs().items():
        for mei, widths in by_music(jobs).items():
            for width, page in zip(widths, drawer.pages(mei, widths), strict=True):
                if page not in found.values():
                    found[f"{name} at {width}"] = page
    assert len(found) > 200
    return found


def _png(markup: str) -> bytes:
    return bytes(
        resvg_py.svg_to_bytes(
            markup,
            zoom=2,
            background="white",
            skip_system_fonts=True,
            font_files=[str(file) for file in FILES],
        )
    )


def _changed(styled: dict[str, str]) -> list[str]:
    changed = []
    for name, page in styled.items():
        drawing = finish(page)
        if _png(standalone(drawing)) != _png(uncompacted(page, drawing)):
            changed.append(name)
    return changed


def test_no_pixel_changes(styled_pages: dict[str, str]) -> None:
    """On every fixture of this room; the test below has the rest."""
    wide = {name: page for name, page in styled_pages.items() if name in WIDE_FIXTURES}
    assert len(wide) > 30
    assert _changed(wide) == []


@pytest.mark.slow
def test_no_pixel_changes_anywhere(styled_pages: dict[str, str]) -> None:
    rest = {name: page for name, page in styled_pages.items() if name not in WIDE_FIXTURES}
    assert len(rest) > 150
    assert _changed(rest) == []


def test_without_the_style_sheet_the_drawings_are_the_same(
    pages: dict[str, str], styled_pages: dict[str, str]
) -> None:
    assert pages.keys() == styled_pages.keys()
    assert not [name for name in pages if "<style" in pages[name]]
    assert all("<style" in page for page in styled_pages.values())
    changed = [name for name in pages if finish(pages[name]) != finish(styled_pages[name])]
    assert changed == []


def test_the_comparison_sees_a_hair(pages: dict[str, str]) -> None:
    """A stroke of a twenty-fifth of a pixel, on one dot or beam, is not lost on it."""
    drawing = finish(next(page for name, page in pages.items() if name.startswith("beams at")))
    thinner = standalone(drawing).replace("<polygon ", '<polygon stroke-width="0" ')
    assert _png(thinner) != _png(standalone(drawing))


def test_drawings_are_well_formed_and_bring_no_shapes(pages: dict[str, str]) -> None:
    for page in pages.values():
        root = etree.fromstring(finish(page).markup)
        tags = {etree.QName(element).localname for element in root.iter()}
        assert not tags & {"defs", "style", "desc"}
        assert not [e for e in root.iter(SVG + "g") if not len(e) or not e.attrib]
        assert not [e for e in root.iter() if e.get("id")]


def test_every_name_of_ours_survives_where_something_is_drawn(pages: dict[str, str]) -> None:
    for name, page in pages.items():
        drawn = {
            own
            for group in etree.fromstring(f"<svg>{sheet_of(page).drawn}</svg>").iter("g")
            if "-" in (own := group.get("id", ""))
            and not own.startswith("x-")
            and any(e.tag in ("use", "path", "ellipse") for e in group.iter())
        }
        kept = set(re.findall(r'data-id="([^"]*)"', finish(page).markup))
        assert drawn <= kept, name
