"""The second stage: text becomes articles, and each article has its address."""

from stavewright.articles.article import Article
from stavewright.articles.read import read_bytes
from stavewright.site.map import SiteMap, place_all
from stavewright.site.stages.values import SiteParsed, SiteRead, Tools
from stavewright.site.write import OutputFile


def parse(site: SiteRead, tools: Tools) -> SiteParsed:
    """Read every article; drafts stay out unless they were asked for."""
    sources = site.content.articles
    tools.progress.stage("parse", len(sources))
    articles: list[tuple[Article, str]] = []
    drafts: list[Article] = []
    for source in sources:
        article = read_bytes(source.path, source.data, source.file, raw_html=site.settings.raw_html)
        if article.front.draft and not site.request.options.drafts:
            drafts.append(article)
        else:
            articles.append((article, source.file))
        tools.progress.advance()
    placed = place_all(articles, site.content.files)
    root = site.request.options.root
    return SiteParsed(
        read=site,
        drafts=tuple(drafts),
        map=SiteMap.of(placed.pages, site.settings.address, root),
        files=tuple(OutputFile(file.path, file.file) for file in placed.files),
        findings=(*site.findings, *placed.findings),
    )
