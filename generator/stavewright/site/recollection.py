"""What pages are made of, known from an earlier composing of the same site."""

from collections.abc import Callable, Mapping
from typing import Final

from stavewright.articles.article import FrontMatter
from stavewright.site.bodies import Bodies
from stavewright.site.map import Page, SiteMap
from stavewright.site.plan import Parts
from stavewright.site.stages.values import Request
from stavewright.site.store import Codec, StaleError, Store, digest
from stavewright.site.store.digest import SIZE

Remembered = Mapping[str, bytes]
"""By a page's address a digest of all that its parts were worked out from, and then the parts."""

_KIND: Final = "parts"
_CODEC: Final[Codec[dict[str, bytes]]] = Codec(dict[str, bytes])
_FRONTS: Final = Codec(FrontMatter)


class Recollection:
    """The parts of pages; they are worked out only where something that they look at changed."""

    def __init__(self, site_map: SiteMap, bodies: Bodies, about: bytes, known: Remembered) -> None:
        """`about` is a digest of what is the same for all pages of this composing."""
        self._map = site_map
        self._bodies = bodies
        self._about = about
        self._known = known
        self.now: dict[str, bytes] = {}
        """What is known now."""

    def parts(self, page: Page, work_out: Callable[[Page], Parts]) -> Parts:
        """The parts of a page that is made from an article."""
        if not self._bodies.shelf.is_lasting(self._bodies.articles[page.article.path].key):
            return work_out(page)
        asked = self._asked(page)
        known = self._known.get(page.address)
        if known is None or not known.startswith(asked):
            known = asked + work_out(page).data
        self.now[page.address] = known
        return Parts(known[SIZE:])

    def _asked(self, page: Page) -> bytes:
        """A digest of all that parts are worked out from, with nothing made of it.

        What an article itself says is in its key.
        """
        site_map = self._map
        article = page.article
        before, after = site_map.neighbours(page)
        shown = (before, after, *site_map.mentioned.get(article.path, ()))
        ways = map(site_map.by_path.get, article.ways)
        told = (
            page.address,
            page.file,
            self._bodies.faults.get(page.file),
            [(it.article.front.title, it.address) if it else None for it in shown],
            [it.address if it else None for it in ways],
        )
        key = self._bodies.articles[article.path].key
        return digest(self._about, key, repr(told), *self._listed(page))

    def _listed(self, page: Page) -> list[bytes | str]:
        """What a page tells of every other one."""
        pages = self._map.pages
        listed: list[bytes | str] = []
        if page.is_home:
            for it in pages:
                listed += (repr((it.address, it.is_glossary)), _FRONTS.encode(it.article.front))
        if page.is_glossary:
            listed += (repr((it.address, it.article.front.title, it.article.uses)) for it in pages)
        return listed


def recall(store: Store, request: Request) -> Remembered:
    """What the store has of the last composing that was asked for in the same way."""
    data = store.get(_KIND, _name(request))
    try:
        return {} if data is None else _CODEC.decode(data)
    except StaleError:
        return {}


def remember(store: Store, request: Request, now: Remembered) -> None:
    """Keep what is known of the pages for the next composing."""
    store.put(_KIND, _name(request), _CODEC.encode(dict(now)))


def _name(request: Request) -> bytes:
    return digest(repr(request.options))
