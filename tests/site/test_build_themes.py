"""A site and its theme: what a theme may leave out, and where its mistakes are."""

from pathlib import Path

import pytest

from stavewright.site.errors import ThemeError
from tests.site.built import broken_references, read_pages
from tests.site.project import ROOT, Make, edit


def test_a_theme_with_a_misspelled_value_names_its_line(make: Make) -> None:
    edit("theme/templates/article.html", "page.body", "page.boddy")
    with pytest.raises(ThemeError, match=r"^theme/templates/article\.html:5: .*boddy"):
        make()


def test_a_theme_with_a_syntax_error_names_its_line(make: Make) -> None:
    edit("theme/templates/article.html", "{{ page.body }}", "{{ page.body }")
    with pytest.raises(ThemeError, match=r"^theme/templates/article\.html:5: "):
        make()


def test_a_theme_that_names_an_asset_it_does_not_have(make: Make) -> None:
    edit("theme/templates/base.html", "site.asset('style.css')", "site.asset('stile.css')")
    with pytest.raises(ThemeError, match=r"base\.html:6: there is no .stile\.css."):
        make()


def test_a_theme_may_leave_templates_to_the_common_ones(make: Make, project: Path) -> None:
    for path in (project / "theme/templates").iterdir():
        path.unlink()
    assert make().written
    assert list(broken_references(Path("site"), read_pages(Path("site")), ROOT)) == []


def test_assets_have_addresses_made_from_what_they_hold(make: Make) -> None:
    make()
    before = _theme_assets()
    assert {path.name for path in before.iterdir()} >= {"style.css", "figure.css"}
    edit("theme/assets/style.css", "40rem", "42rem")
    make()
    assert before.name != _theme_assets().name


def _theme_assets() -> Path:
    """Where a theme's files lie; beside it lies what articles bring."""
    articles = {"music", "social"}
    (found,) = (each for each in Path("site/assets").iterdir() if each.name not in articles)
    return found
