"""The fifth stage: every file of the site, in memory."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from functools import partial
from typing import cast

from markupsafe import Markup, escape

from stavewright import __version__
from stavewright.articles.article import Article, Kind
from stavewright.articles.render import render_body
from stavewright.articles.typeset import typeset_claim
from stavewright.checking.claims import check_claim
from stavewright.figures.sound import encode_claim, perform_claim
from stavewright.notation import Claim
from stavewright.notation.finding import Finding, Severity
from stavewright.site.addresses import FEED, HOME, NOT_FOUND, SITEMAP, output_path
from stavewright.site.assets import figure_assets, place_assets
from stavewright.site.errors import working_on
from stavewright.site.feeds import Entry, atom_feed, sitemap
from stavewright.site.figure_views import figure_view
from stavewright.site.hearing import Heard, hear
from stavewright.site.map import Page
from stavewright.site.render import PageView, Renderer
from stavewright.site.stages.values import Rendered, SiteEngraved, Tools
from stavewright.site.themes import Theme
from stavewright.site.views import Views
from stavewright.site.write import OutputFile

_LINK_RULES = ("link", "term")


def render(site: SiteEngraved, tools: Tools) -> Rendered:
    """Render every page, feed and asset. Raises `ThemeError`."""
    parsed = site.checked.parsed
    read = parsed.read
    assets = place_assets(_asset_contents(read.theme))
    views = Views(read.settings, parsed.map, assets)
    renderer = Renderer.of(read.theme)
    tools.progress.stage("render", len(parsed.map.pages))
    pages = []
    kept: dict[str, OutputFile] = {}
    for page in parsed.map.pages:
        with working_on(f"making a page of {page.file}"):
            body = _body(page, site, renderer, kept)
            pages.append(_page(renderer, views, page.address, views.page(page, body)))
        tools.progress.advance()
    if not any(page.is_home for page in parsed.map.pages):
        pages.append(_page(renderer, views, HOME, views.home(None, Markup())))
    pages.append(_page(renderer, views, NOT_FOUND, views.not_found()))
    return Rendered(
        files=(*pages, *_feeds(views), *assets.files, *kept.values(), *parsed.files),
        pages=parsed.map.pages,
        findings=site.findings,
        checked=site.checked.checked,
        texts=read.content.texts,
        watched=(read.request.content, *read.theme.watched),
        output=read.request.output,
        drafts=len(parsed.drafts),
    )


def _asset_contents(theme: Theme) -> dict[str, bytes]:
    """The files of figures and theme by name; the theme's own come last and win."""
    contents = dict(figure_assets())
    contents.update({name: path.read_bytes() for name, path in theme.assets})
    return contents


def _body(
    page: Page, site: SiteEngraved, renderer: Renderer, kept: dict[str, OutputFile]
) -> Markup:
    """The text with its figures; the files that these offer are added to `kept`, by their path."""
    article = cast("Article", page.article)
    figures = {}
    for index, block in enumerate(article.blocks):
        drawn = site.figures.get((article.path, index), ())
        errors = site.errors.get((article.path, index), ())
        heard = Heard() if errors else hear(block.score, page.address, index + 1)
        kept.update((file.path, OutputFile(file.path, file.data)) for file in heard.files)
        href = partial(site.checked.parsed.map.href, page.address)
        sound, downloads = heard.sound, heard.downloads(href)
        view = figure_view(block, index + 1, drawn, errors, sound, downloads)
        figures[index] = renderer.figure(view)
    claims = {index: _claim(claim) for index, claim in enumerate(article.claims)}
    site_map = site.checked.parsed.map
    anchor, rest = _without_title(article)
    options = site.checked.parsed.read.request.options
    # Rendered by our own Markdown renderer, which escapes all that the author wrote.
    return anchor + Markup(
        render_body(
            rest,
            figures,
            claims,
            lambda link: site_map.link_href(page, article.links.index(link)),
            notes=link_notes(article, site.findings),
            places=options.places,
        )
    )


def link_notes(article: Article, findings: Iterable[Finding]) -> dict[int, str]:
    """What is said behind each link or picture that leads nowhere, by its index."""
    faults = {finding.span: finding for finding in findings if finding.rule in _LINK_RULES}
    return {
        index: _note("link-finding", [faults[link.span]])
        for index, link in enumerate(article.links)
        if link.span in faults
    }


def _without_title(article: Article) -> tuple[Markup, Article]:
    """An article whose text does not say its title again, and the anchor of what is left out.

    A bare file has its first heading for a title, and every page prints its title by itself.
    """
    opening = next(iter(article.tokens), None)
    if article.has_front_matter or opening is None or opening.tag != "h1":
        return Markup(), article
    heading = article.headings[opening.meta["heading"]]
    has_notes = any(token.type == "footnote_ref" for token in article.tokens[1].children or ())
    if has_notes or heading.text != article.front.title:
        return Markup(), article
    anchor = Markup('<span id="{}"></span>').format(heading.anchor)
    return anchor, replace(article, tokens=article.tokens[3:])


def _claim(claim: Claim) -> str:
    """A claim; one that is false, in a build that keeps going, says so on the spot."""
    sound = perform_claim(claim)
    typeset = typeset_claim(claim, encode_claim(sound) if sound else None)
    errors = [fault for fault in check_claim(claim) if fault.severity is Severity.ERROR]
    return typeset + _note("claim-finding", errors) if errors else typeset


def _note(name: str, faults: Iterable[Finding]) -> str:
    """What is wrong, on the spot, in brackets: any theme and any voice tells it from the text."""
    said = "; ".join(f"{fault.span}: {fault.message}" for fault in faults)
    return f' <strong class="{name}">[{escape(said)}]</strong>'


def _page(renderer: Renderer, views: Views, address: str, view: PageView) -> OutputFile:
    return OutputFile(output_path(address), renderer.page(views.site(address), view))


def _feeds(views: Views) -> list[OutputFile]:
    pages = [page for page in views.map.pages if not page.article.front.draft]
    entries = [
        Entry(front.title, page.address, front.summary, front.date, front.updated or front.date)
        for page in pages
        if (front := page.article.front).kind is Kind.ARTICLE and front.date is not None
    ]
    days: dict[str, date | None] = {HOME: max((e.updated for e in entries), default=None)}
    days |= {page.address: _changed(page) for page in pages if not page.is_home}
    files = [OutputFile(FEED, atom_feed(views.settings, entries, __version__))]
    tour = sitemap(views.settings, list(days.items()))
    return [*files, OutputFile(SITEMAP, tour)] if tour is not None else files


def _changed(page: Page) -> date | None:
    return page.article.front.updated or page.article.front.date
