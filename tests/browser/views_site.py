"""The site of `data/views`: every view of every kind of figure, built and served."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from stavewright.site.making.workshop import Workshop
from stavewright.site.pipeline import build
from stavewright.site.stages.values import Options, Tools
from tests.browser.test_pages import serving

CONTENT = Path(__file__).parent / "data" / "views" / "content"


@contextmanager
def views_site(folder: Path, theme: str) -> Iterator[str]:
    """The site in a theme; gives its address."""
    with Workshop(1) as makers:
        build(CONTENT, folder / "site", Options(theme=theme, root="/"), Tools(makers))
    with serving(folder / "site") as address:
        yield address
