"""Pages from made articles: each is planned at once and put together when it is asked for."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache, partial
from typing import TYPE_CHECKING

from markupsafe import Markup

from stavewright.site.addresses import ASSETS, HOME, NOT_FOUND, output_path
from stavewright.site.assets import Assets
from stavewright.site.bodies import Bodies, link_faults
from stavewright.site.errors import working_on
from stavewright.site.making.makers import Makers
from stavewright.site.making.manner import Manner
from stavewright.site.map import Page
from stavewright.site.page import ArticleView, PageView, PictureView, SiteView
from stavewright.site.plan import PagePlan, Part, Parts, seen
from stavewright.site.recollection import Recollection, Remembered
from stavewright.site.social_style import HEIGHT, WIDTH
from stavewright.site.stages.values import SiteChecked
from stavewright.site.themes import Theme
from stavewright.site.views import Views

if TYPE_CHECKING:
    from stavewright.site.render import Renderer


@dataclass(frozen=True, slots=True)
class Composer:
    """Plans the pages of one site."""

    views: Views
    bodies: Bodies
    renderer: "Callable[[], Renderer]"
    manner: Manner
    templates: bytes
    """Digest of the theme's templates."""
    named: frozenset[str]
    """The first steps of the addresses that the site shows around every page."""
    recollection: Recollection
    _frames: dict[int, "_Frame"] = field(default_factory=dict)
    """The site as the pages of a depth see it."""

    @classmethod
    def of(cls, site: SiteChecked, assets: Assets, makers: Makers, known: Remembered) -> "Composer":
        """The composer of a site that was checked; `known` is what an earlier one remembered."""
        made = site.placed.made
        manner = made.read.manner
        site_map = site.placed.map
        bodies = Bodies(
            map=site_map,
            articles={article.essence.path: article for article in made.articles},
            faults=link_faults(site.findings),
            shelf=made.shelf,
            makers=makers,
            manner=manner,
        )
        made.shelf.expect([bodies.articles[page.article.path].key for page in site_map.pages])
        shown = [site_map.by_path.get(item.path) for item in made.read.settings.navigation]
        named = [page.address if page else None for page in (*shown, site_map.glossary)]
        about = seen(
            manner.key,
            made.read.templates,
            made.read.settings,
            assets.addresses,
            named,
            site_map.root,
        )
        first_steps = (address.partition("/")[0] for address in (ASSETS, *named) if address)
        return cls(
            views=Views(made.read.settings, site_map, assets),
            bodies=bodies,
            renderer=cache(partial(renderer_of, made.read.theme, made.read.templates)),
            manner=manner,
            templates=made.read.templates,
            named=frozenset(first_steps),
            recollection=Recollection(site_map, bodies, about, known),
        )

    def pages(self) -> Iterator[PagePlan]:
        """A plan for every page; the site's own pages are the last."""
        pages = self.views.map.pages
        for page in pages:
            yield self._of_article(page)
        if not any(page.is_home for page in pages):
            yield self._of_site(HOME, self.views.home(None, Markup()))
        yield self._of_site(NOT_FOUND, self.views.not_found())

    def _of_article(self, page: Page) -> PagePlan:
        parts = self.recollection.parts(page, self._parts_of)
        return PagePlan(page.output, page.file, parts, partial(self._make, page))

    def _parts_of(self, page: Page) -> Parts:
        view = self._view(page, Markup())
        made = self.bodies.articles[page.article.path]
        parts = self._parts(page.address, view)
        # What another build may make better is never taken for what that build makes.
        passing = () if self.bodies.shelf.is_lasting(made.key) else made.essence.findings
        parts[Part.TEXT] = seen(made.text, passing)
        parts[Part.LINKS] = seen(self.bodies.links(page))
        return Parts.of(parts)

    def _view(self, page: Page, body: Markup) -> PageView:
        view = self.views.page(page, body)
        picture = self.bodies.articles[page.article.path].essence.picture
        if picture is None or not isinstance(view, ArticleView):
            return view
        address = self.views.map.canonical(picture.path)
        if address is None:
            return view
        return replace(view, picture=PictureView(address, WIDTH, HEIGHT, picture.alt))

    def _of_site(self, address: str, view: PageView) -> PagePlan:
        parts = Parts.of(self._parts(address, view))
        make = partial(self._render, address, view)
        return PagePlan(output_path(address), None, parts, make)

    def _make(self, page: Page) -> bytes:
        with working_on(f"making a page of {page.file}"):
            view = self._view(page, self.bodies.text(page))
            return self._render(page.address, view)

    def _render(self, address: str, view: PageView) -> bytes:
        return self.renderer().page(self._frame(address).view, view)

    def _parts(self, address: str, view: PageView) -> dict[Part, bytes]:
        frame = self._frame(address)
        return {
            **frame.parts,
            Part.SETTINGS: seen(frame.settings, view.canonical, _of(view, "disclosure")),
            Part.MENTIONS: seen(_of(view, "mentions")),
            Part.NEIGHBOURS: seen(_of(view, "previous"), _of(view, "next")),
            Part.LISTS: seen(_of(view, "articles"), _of(view, "handbook")),
            Part.TERMS: seen(_of(view, "terms")),
            Part.SHOWN: seen(view),
        }

    def _frame(self, address: str) -> "_Frame":
        """The site as the page at an address sees it.

        Addresses are relative, so all pages that are as deep see it alike, but for those on the way
        to what it names.
        """
        first, _, rest = address.partition("/")
        if first in self.named or not rest:
            return self._framed(address)
        depth = address.count("/")
        if depth not in self._frames:
            self._frames[depth] = self._framed(address)
        return self._frames[depth]

    def _framed(self, address: str) -> "_Frame":
        view = self.views.site(address)
        names = (view.name, view.author, view.about, view.language, view.rights)
        manner = self.manner
        return _Frame(
            view,
            seen(names, manner.raw_html, manner.places),
            {
                Part.PROGRAM: manner.program,
                Part.THEME: seen(self.templates, view.assets),
                Part.NAVIGATION: seen(view.navigation, view.home, view.feed, view.glossary),
            },
        )


@dataclass(frozen=True, slots=True)
class _Frame:
    """The site around a page, and the digests of it."""

    view: SiteView
    settings: bytes
    parts: Mapping[Part, bytes]


@lru_cache(maxsize=1)  # a preview composes its site again for every word that changes
def renderer_of(theme: Theme, templates: bytes) -> "Renderer":
    """The renderer of a theme; the digest of its templates tells whether they are still the same.

    Making one again would cost more than the page it is wanted for.
    """
    del templates
    from stavewright.site.render import Renderer  # here: where nothing changed, no page is set

    return Renderer.of(theme)


def _of(view: PageView, name: str) -> object:
    """A field that only some kinds of page have."""
    return getattr(view, name, None)
