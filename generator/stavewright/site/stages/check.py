"""The third stage: what is wrong."""

from stavewright.articles.links import LinkIndex
from stavewright.notation.finding import Finding, in_order
from stavewright.site.checks import check_navigation, count, findings_in, links_to_drafts
from stavewright.site.errors import working_on
from stavewright.site.stages.values import SiteChecked, SiteParsed, Tools


def check(site: SiteParsed, tools: Tools) -> SiteChecked:
    """Check every article of the site, and the settings against them."""
    articles = [page.article for page in site.map.pages]
    drafts = {draft.path for draft in site.drafts}
    # Drafts count as present: a link to one gets words of its own.
    everything = [*articles, *site.drafts]
    index = LinkIndex.of(everything, files=[file.path for file in site.files], whole=True)
    tools.progress.stage("check", len(articles))
    findings: list[Finding] = list(site.findings)
    for page in site.map.pages:
        with working_on(f"checking {page.file}"):
            findings += findings_in(page.article, index)
            findings += links_to_drafts(page.article, drafts)
        tools.progress.advance()
    findings += check_navigation(site.read.settings, {article.path for article in articles})
    return SiteChecked(site, in_order(findings), count(articles))
