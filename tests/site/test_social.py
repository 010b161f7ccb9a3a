"""The picture for shared links: one an article, in the theme's colours, named by its page."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stavewright.figures.figure import Drawing
from stavewright.site import social
from stavewright.site.errors import ThemeError
from stavewright.site.making.workshop import Workshop
from stavewright.site.pipeline import build
from stavewright.site.social import social_picture
from stavewright.site.social_style import SocialLook
from stavewright.site.stages.values import Options, Tools
from stavewright.site.themes import find_theme

KEYS = Drawing(
    '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="40" viewBox="0 0 100 40">'
    '<rect width="100" height="40" fill="none" stroke="currentColor"/></svg>',
    100,
    40,
)
SETTINGS = "name: Band & Co\naddress: https://band.example/music\n"
ARTICLE = """---
title: "Why “sharp” & not flat?"
summary: Because.
date: 2025-03-01
---

{block}
"""
BLOCK = """```music
title: A chord
show: clock staff
notes: 1/4 C4 E4
time: 2/4
```"""


def drawn(monkeypatch: pytest.MonkeyPatch, title: str, *drawings: Drawing) -> ET.Element:
    """The picture before it is turned into pixels."""
    kept: list[str] = []

    def png(svg: str, *, system_fonts: bool = False) -> bytes:
        kept.append(svg)
        return bytes([system_fonts])

    with monkeypatch.context() as patch:
        patch.setattr(social, "png", png)
        social_picture(title, "Band & Co", drawings, SocialLook(paper="ivory"))
    return ET.fromstring(kept[0])


def words(root: ET.Element) -> list[str]:
    return ["".join(text.itertext()) for text in root.iter("{http://www.w3.org/2000/svg}text")]


def test_a_picture_has_its_size_and_is_always_the_same() -> None:
    picture = social_picture("Why?", "Band", (KEYS,), SocialLook())
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    assert (int.from_bytes(picture[16:20]), int.from_bytes(picture[20:24])) == (1200, 630)
    assert picture == social_picture("Why?", "Band", (KEYS,), SocialLook())
    assert picture != social_picture("Why?", "Band", (KEYS,), SocialLook(paper="white"))
    assert len(picture) < 60_000


def test_title_and_site_stand_in_it_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    root = drawn(monkeypatch, "Why <sharp> & not flat?", KEYS)
    assert words(root) == ["Why <sharp> & not flat?", "Band & Co"]


def test_a_title_too_long_is_cut_short(monkeypatch: pytest.MonkeyPatch) -> None:
    *title, _ = words(drawn(monkeypatch, "A very long question, indeed " * 12))
    assert len(title) == 2
    assert title[-1].endswith("…")


def test_a_table_is_drawn_too(monkeypatch: pytest.MonkeyPatch) -> None:
    table = Drawing("<table><tbody><tr><td>ninth</td></tr></tbody></table>", 480, 60)
    assert "ninth" in words(drawn(monkeypatch, "Names", table))


@settings(max_examples=30)
@given(st.text(max_size=80))
def test_any_title_gives_a_picture(title: str) -> None:
    with pytest.MonkeyPatch.context() as patch:
        root = drawn(patch, title)
    assert root.get("width") == "1200"


Site = Callable[..., Path]


@pytest.fixture
def site(tmp_path: Path, makers: Workshop) -> Site:
    """Builds a site of one article, and gives its folder."""

    def built(text: str, extra: str = "", **options: bool) -> Path:
        (tmp_path / "content").mkdir()
        (tmp_path / "content/site.yaml").write_text(SETTINGS + extra, "utf-8")
        (tmp_path / "content/why.md").write_text(text, "utf-8")
        output = tmp_path / "site"
        report = build(tmp_path / "content", output, Options(**options), Tools(makers))
        assert report.written, report.findings
        return output

    return built


def shared(page: Path) -> dict[str, str]:
    """What a page says to those who show links to it."""
    root = html5lib.parse(page.read_text("utf-8"), namespaceHTMLElements=False)
    return {
        meta.get("property"): meta.get("content")
        for meta in root.iter("meta")
        if meta.get("property")
    }


def test_a_page_names_its_picture_with_its_whole_address(site: Site) -> None:
    output = site(ARTICLE.format(block=BLOCK))
    said = shared(output / "why/index.html")
    address = said["og:image"]
    assert re.fullmatch(r"https://band\.example/music/assets/social/[0-9a-f]{12}\.png", address)
    assert (output / address.removeprefix("https://band.example/music/")).stat().st_size > 5000
    assert (said["og:image:width"], said["og:image:height"]) == ("1200", "630")
    assert said["og:image:alt"].startswith("Why “sharp” & not flat? Pitch-class clock with")
    assert said["og:title"] == "Why “sharp” & not flat?"
    assert said["og:site_name"] == "Band & Co"
    assert said["og:type"] == "article"
    assert said["og:url"] == "https://band.example/music/why/"
    assert said["og:description"] == "Because."
    assert "og:image" not in shared(output / "index.html")


@pytest.mark.parametrize(
    ("text", "extra"),
    [
        (ARTICLE.format(block="No music."), ""),
        (ARTICLE.format(block=BLOCK), "social_pictures: false\n"),
        (ARTICLE.format(block=BLOCK).replace("date:", "kind: page\ndate:"), ""),
    ],
    ids=["no figure", "not wanted", "no article"],
)
def test_where_there_is_no_picture_the_rest_is_said(site: Site, text: str, extra: str) -> None:
    output = site(text, extra)
    said = shared(output / "why/index.html")
    assert "og:image" not in said
    assert said["og:title"]
    assert not (output / "assets/social").exists()


def test_a_preview_makes_none(site: Site) -> None:
    output = site(ARTICLE.format(block=BLOCK), places=True)
    assert not (output / "assets/social").exists()


def test_a_theme_gives_its_colours(tmp_path: Path) -> None:
    theme = tmp_path / "mine"
    theme.mkdir()
    (theme / "theme.yaml").write_text(
        "name: mine\nsocial:\n  paper: Navy\n  ink: '#fff'\n", "utf-8"
    )
    assert find_theme("./mine", tmp_path).social == SocialLook(paper="navy", ink="#fff")
    (theme / "theme.yaml").write_text("name: mine\nsocial:\n  paper: papper\n", "utf-8")
    with pytest.raises(ThemeError, match=r"theme\.yaml:3:10: 'papper' is no color"):
        find_theme("./mine", tmp_path)
