"""The third stage: each article has its address, and is one of a kind."""

from stavewright.site.map import SiteMap, place_all
from stavewright.site.stages.values import SiteMade, SitePlaced, Tools


def place(site: SiteMade, tools: Tools) -> SitePlaced:
    """Place everything; drafts stay out unless they were asked for."""
    tools.progress.stage("place", 1)
    read = site.read
    options = read.request.options
    shown = [it for it in site.articles if options.drafts or not it.essence.front.draft]
    hidden = [it for it in site.articles if it.essence.front.draft and not options.drafts]
    placed = place_all([(it.essence, it.source.shown) for it in shown], read.listing.files)
    tools.progress.advance()
    return SitePlaced(
        made=site,
        drafts=tuple(it.essence for it in hidden),
        map=SiteMap.of(placed.pages, read.settings.address, options.root),
        files=placed.files,
        findings=(*site.findings, *placed.findings),
    )
