"""Themes are found by name or folder, and fall back on what all of them share."""

from pathlib import Path

import pytest

from stavewright.site.errors import ThemeError
from stavewright.site.themes import find_theme, theme_names


def test_more_than_one_theme_comes_with_the_package_and_none_is_the_common_ground() -> None:
    assert len(theme_names()) >= 2
    assert "common" not in theme_names()


@pytest.mark.parametrize("name", theme_names())
def test_every_theme_can_be_read(name: str) -> None:
    theme = find_theme(name, Path())
    assert theme.name == name
    assert theme.about
    assert "style.css" in dict(theme.assets)


def test_a_folder_of_the_authors_own(tmp_path: Path) -> None:
    folder = tmp_path / "ours"
    (folder / "assets/fonts").mkdir(parents=True)
    (folder / "theme.yaml").write_text("name: ours\n")
    (folder / "assets/style.css").write_text("body { color: teal }")
    (folder / "assets/fonts/text.woff2").write_bytes(b"font")
    theme = find_theme("./ours", tmp_path)
    assets = dict(theme.assets)
    assert assets["style.css"] == folder / "assets/style.css"
    assert assets["fonts/text.woff2"] == folder / "assets/fonts/text.woff2"
    assert "music.css" in assets


@pytest.mark.parametrize(
    ("wanted", "said"),
    [
        ("quyre", "did you mean `quire`"),
        ("nothing-like-it", "there are"),
        ("./missing", "no theme in the folder"),
        ("./empty", "has no theme.yaml"),
        ("./nameless", "`name` is missing"),
        ("./wrong", "There is no field `nmae`"),
        ("./broken", "quote or bracket"),
    ],
)
def test_a_theme_that_cannot_be_used_says_why(tmp_path: Path, wanted: str, said: str) -> None:
    texts = {"nameless": "about: x", "wrong": "name: a\nnmae: b", "broken": "name: [a"}
    (tmp_path / "empty").mkdir()
    for name, text in texts.items():
        (tmp_path / name).mkdir()
        (tmp_path / name / "theme.yaml").write_text(text)
    with pytest.raises(ThemeError, match=said):
        find_theme(wanted, tmp_path)
