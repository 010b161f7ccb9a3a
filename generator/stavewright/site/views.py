"""What templates are given, made from articles: the one place where values become views."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlsplit

from markupsafe import Markup

from stavewright.articles.article import Kind
from stavewright.articles.paths import resolve
from stavewright.articles.video import address_at, format_timecode
from stavewright.site.addresses import FEED, HOME, NOT_FOUND, relative_href
from stavewright.site.assets import Assets
from stavewright.site.map import Page, SiteMap
from stavewright.site.page import (
    ArticleView,
    CardView,
    GlossaryView,
    HomeView,
    LinkView,
    NotFoundView,
    SectionView,
    SiteView,
    TermView,
    VideoView,
)
from stavewright.site.settings import Settings

_NEWEST = 5
"""How many articles the page for missing addresses offers."""
_SHOWN_LEVELS = {2, 3}


@dataclass(frozen=True, slots=True)
class Views:
    """Makes the views of one site's pages."""

    settings: Settings
    map: SiteMap
    assets: Assets

    def site(self, origin: str) -> SiteView:
        """The site, as the page at `origin` sees it."""
        glossary = self.map.glossary
        assets = ((name, self._href(origin, place)) for name, place in self.assets.addresses)
        return SiteView(
            name=self.settings.name,
            author=self.settings.author,
            about=self.settings.about,
            language=self.settings.language,
            rights=self.settings.rights,
            home=self._href(origin, HOME),
            glossary=self._href(origin, glossary.address) if glossary else None,
            feed=self._href(origin, FEED),
            assets=tuple(assets),
            navigation=tuple(self._navigation(origin)),
        )

    def page(self, page: Page, body: Markup) -> ArticleView | HomeView | GlossaryView:
        """The view of a page made from a Markdown file."""
        if page.is_home:
            return self.home(page, body)
        return self._glossary(page, body) if page.is_glossary else self._article(page, body)

    def home(self, page: Page | None, body: Markup) -> HomeView:
        """The home page, which every site has, with or without a text of its own."""
        front = page.article.front if page else None
        return HomeView(
            title=front.title if front else self.settings.name,
            summary=front.summary if front else self.settings.about,
            canonical=self.map.canonical(HOME),
            body=body,
            articles=self._cards(HOME, Kind.ARTICLE),
            handbook=self._cards(HOME, Kind.HANDBOOK),
        )

    def not_found(self) -> NotFoundView:
        """The page for addresses that are not in the site."""
        newest = self._cards(NOT_FOUND, Kind.ARTICLE, _NEWEST)
        return NotFoundView("There is nothing here", newest)

    def _article(self, page: Page, body: Markup) -> ArticleView:
        front = page.article.front
        before, after = self.map.neighbours(page)
        mentioning = self.map.mentioned.get(page.article.path, ())
        disclosure = front.disclosure
        if disclosure is None and front.kind is Kind.ARTICLE:
            disclosure = self.settings.disclosure
        return ArticleView(
            kind=front.kind.value,
            title=front.title,
            summary=front.summary,
            canonical=self.map.canonical(page.address),
            date=front.date,
            updated=front.updated,
            question=front.question,
            video=self._video(page),
            body=body,
            sections=_sections(page),
            credits=front.credits,
            rights=front.rights,
            disclosure=disclosure,
            mentions=tuple(self._link(page.address, other) for other in mentioning),
            previous=self._link(page.address, before) if before else None,
            next=self._link(page.address, after) if after else None,
            draft=front.draft,
        )

    def _glossary(self, page: Page, body: Markup) -> GlossaryView:
        uses = _uses(self.map)
        terms = (
            TermView(
                name=term.name,
                anchor=term.slug,
                uses=tuple(self._link(page.address, user) for user in uses.get(term.slug, ())),
            )
            for term in page.article.terms
        )
        return GlossaryView(
            title=page.article.front.title,
            summary=page.article.front.summary,
            canonical=self.map.canonical(page.address),
            body=body,
            terms=tuple(terms),
        )

    def _video(self, page: Page) -> VideoView | None:
        video = page.article.front.video
        if video is None:
            return None
        still = resolve(page.article.path, video.still) if video.still else None
        return VideoView(
            address=video.address,
            length=format_timecode(video.seconds),
            host=urlsplit(video.address).hostname or video.address,
            still=self._href(page.address, still) if still else None,
        )

    def _cards(self, origin: str, kind: Kind, most: int | None = None) -> tuple[CardView, ...]:
        pages = self.map.rows[kind]
        newest_first = pages[::-1] if kind is Kind.ARTICLE else pages
        return tuple(
            CardView(
                title=page.article.front.title,
                href=self._href(origin, page.address),
                summary=page.article.front.summary,
                date=page.article.front.date,
                question=page.article.front.question,
            )
            for page in newest_first[:most]
        )

    def _navigation(self, origin: str) -> list[LinkView]:
        found = []
        for item in self.settings.navigation:
            page = self.map.by_path.get(item.path)
            if page is not None:
                href = self._href(origin, page.address)
                found.append(LinkView(item.title, href, page.address == origin))
        return found

    def _link(self, origin: str, page: Page) -> LinkView:
        return LinkView(page.article.front.title, self._href(origin, page.address))

    def _href(self, origin: str, target: str) -> str:
        return self.map.href(origin, target)


def _sections(page: Page) -> tuple[SectionView, ...]:
    video = page.article.front.video
    sections = []
    for heading in page.article.headings:
        if heading.level not in _SHOWN_LEVELS:
            continue
        timed = video is not None and heading.seconds is not None
        sections.append(
            SectionView(
                level=heading.level,
                title=heading.text,
                href=relative_href(page.address, page.address, heading.anchor),
                time=format_timecode(heading.seconds or 0) if timed else None,
                video=address_at(video, heading.seconds or 0) if timed and video else None,
            )
        )
    return tuple(sections)


def _uses(site_map: SiteMap) -> Mapping[str, tuple[Page, ...]]:
    """The pages that link to each term, by its slug, each once."""
    uses: defaultdict[str, list[Page]] = defaultdict(list)
    for page in site_map.pages:
        for slug in () if page.is_glossary else page.article.uses:
            uses[slug].append(page)
    return {slug: tuple(pages) for slug, pages in uses.items()}
