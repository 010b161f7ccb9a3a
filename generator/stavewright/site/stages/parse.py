"""The second stage: text becomes articles, and each article has its address."""

from stavewright.site.errors import working_on
from stavewright.site.map import SiteMap, place_all
from stavewright.site.project import read_text
from stavewright.site.stages.values import SiteParsed, SiteRead, Tools
from stavewright.site.write import OutputFile


def parse(site: SiteRead, tools: Tools) -> SiteParsed:
    """Read every article; drafts stay out unless they were asked for."""
    sources = site.content.articles
    tools.progress.stage("parse", len(sources))
    articles = []
    for source in sources:
        with working_on(f"reading {source.file}"):
            articles.append((read_text(source, site.settings), source.file))
        tools.progress.advance()
    options = site.request.options
    shown = [pair for pair in articles if options.drafts or not pair[0].front.draft]
    hidden = [article for article, _ in articles if article.front.draft and not options.drafts]
    placed = place_all(shown, site.content.files)
    return SiteParsed(
        read=site,
        drafts=tuple(hidden),
        map=SiteMap.of(placed.pages, site.settings.address, options.root),
        files=tuple(OutputFile(file.path, file.file) for file in placed.files),
        findings=(*site.findings, *placed.findings),
    )
