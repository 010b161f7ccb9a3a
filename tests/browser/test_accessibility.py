"""What axe, the open accessibility checker, finds on every view and on the demonstration's pages.

Everything that can be opened is open: the words, the files, a claim's card. It must find nothing,
in the light and in the dark, in both themes.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.browser.test_pages import DESK, SMALLEST, paths
from tests.browser.test_pages import browser as browser
from tests.browser.test_pages import host as host
from tests.browser.test_pages import site as site
from tests.browser.views_site import views_site

pytestmark = pytest.mark.browser

THEMES = ("quire", pytest.param("broadside", marks=pytest.mark.slow))
OPEN_ALL = "for (const each of document.querySelectorAll('details')) each.open = true"


@pytest.fixture(scope="module", params=THEMES)
def views(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[str]:
    """The address of a site with every view, in one theme."""
    with views_site(tmp_path_factory.mktemp("views"), request.param) as address:
        yield address


def faults(page: Page) -> list[str]:
    """Each thing that axe finds, with the first place where it finds it."""
    found = Axe().run(page).response["violations"]
    return [f"{each['id']}: {each['help']}: {each['nodes'][0]['html'][:200]}" for each in found]


def open_everything(page: Page) -> None:
    page.evaluate(OPEN_ALL)
    claim = page.locator(".claim[role=button]").first
    if claim.count():
        claim.click()
        page.locator(".claim-card").wait_for()


@pytest.mark.parametrize(
    ("screen", "scheme"), [(DESK, "light"), (DESK, "dark"), (SMALLEST, "light")]
)
def test_axe_finds_nothing_on_any_view(
    browser: Browser, views: str, screen: dict[str, int], scheme: str
) -> None:
    page = browser.new_page(viewport=screen, color_scheme=scheme)
    found = {}
    for name in ("views/", "odd/"):
        page.goto(views + name)
        open_everything(page)
        found[name] = faults(page)
    page.close()
    assert found == {"views/": [], "odd/": []}


@pytest.mark.slow
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_the_demonstration(
    browser: Browser, site: Path, host: str, scheme: str
) -> None:
    found = {}
    page = browser.new_page(viewport=DESK, color_scheme=scheme)
    for path in paths(site):
        page.goto(host + path)
        open_everything(page)
        if problems := faults(page):
            found[path] = problems
    page.close()
    assert found == {}
