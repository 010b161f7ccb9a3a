"""The fourth stage: what is wrong among the articles; each brings what is wrong in it alone."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from stavewright.articles.links import LinkIndex, anchors_of, check_links
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
    index = _index(site, shown)
    tools.progress.stage("check", len(shown))
    findings: list[Finding] = list(site.findings)
    for essence in shown:
        findings += essence.findings
        if not _leads_well(essence, index, drafts):
            with working_on(f"checking {essence.path}"):
                findings += check_links(essence, index)
                findings += links_to_drafts(essence, drafts)
    tools.progress.advance(len(shown))
    paths = {essence.path for essence in shown}
    findings += check_navigation(site.made.read.settings, paths)
    return SiteChecked(site, in_order(findings), _count(shown))


def _index(site: SitePlaced, shown: list[Essence]) -> LinkIndex:
    """What links may lead to; drafts are among it, since a link to one gets words of its own."""
    known = {essence.path: essence for essence in (*shown, *site.drafts)}
    terms = {term.slug: term.name for essence in known.values() for term in essence.terms}
    files = frozenset([*known, *(file.path for file in site.files)])
    return LinkIndex(_Anchors(known), terms, files, files.__contains__)


@dataclass(frozen=True, slots=True)
class _Anchors(Mapping[str, frozenset[str]]):
    """The anchors of each article by its path, unpacked where somebody asks for them."""

    essences: Mapping[str, Essence]

    def __getitem__(self, path: str) -> frozenset[str]:
        return anchors_of(self.essences[path])

    def __iter__(self) -> Iterator[str]:
        return iter(self.essences)

    def __len__(self) -> int:
        return len(self.essences)

    def __contains__(self, path: object) -> bool:
        return path in self.essences


def _leads_well(essence: Essence, index: LinkIndex, drafts: Collection[str]) -> bool:
    """Whether `check_links` and `links_to_drafts` have nothing to find, told at a glance.

    Most articles link to whole pages and to terms, which only have to be there.
    """
    return (
        essence.plain
        and index.files.issuperset(essence.ways)
        and all(term in (index.terms or ()) for term in essence.uses)
        and not (drafts and any(path in drafts for path in essence.mentions))
    )


def _count(essences: list[Essence]) -> Checked:
    return Checked(
        len(essences),
        sum(essence.blocks for essence in essences),
        sum(essence.claims for essence in essences),
    )
