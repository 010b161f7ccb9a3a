"""The fourth stage: what is wrong among the articles; each brings what is wrong in it alone."""

from stavewright.articles.links import LinkIndex, check_links
from stavewright.notation.finding import Finding, in_order
from stavewright.site.checks import check_navigation, links_to_drafts
from stavewright.site.errors import working_on
from stavewright.site.making.essence import Essence
from stavewright.site.report import Checked
from stavewright.site.stages.values import SiteChecked, SitePlaced, Tools


def check(site: SitePlaced, tools: Tools) -> SiteChecked:
    """Check every article of the site against the others, and the settings against all."""
    essences = {article.essence.path: article.essence for article in site.made.articles}
    shown = [essences[page.article.path] for page in site.map.pages]
    drafts = {draft.path for draft in site.drafts}
    # Drafts count as present: a link to one gets words of its own.
    files = [file.path for file in site.files]
    index = LinkIndex.of([*shown, *site.drafts], files=files, whole=True)
    tools.progress.stage("check", len(shown))
    findings: list[Finding] = list(site.findings)
    for essence in shown:
        with working_on(f"checking {essence.path}"):
            findings += essence.findings
            findings += check_links(essence, index)
            findings += links_to_drafts(essence, drafts)
    tools.progress.advance(len(shown))
    paths = {essence.path for essence in shown}
    findings += check_navigation(site.made.read.settings, paths)
    return SiteChecked(site, in_order(findings), _count(shown))


def _count(essences: list[Essence]) -> Checked:
    return Checked(
        len(essences),
        sum(essence.blocks for essence in essences),
        sum(essence.claims for essence in essences),
    )
