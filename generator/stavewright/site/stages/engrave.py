"""The fourth stage: scores become figures.

All that the engraver has to draw goes to it in one call, so that its processes share the work and
equal figures are drawn once; the figures are then put together from what came back.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from stavewright.articles.article import Article
from stavewright.figures import draw, staff_jobs
from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob, Figure
from stavewright.notation import Block
from stavewright.notation.finding import Finding, Severity, in_order
from stavewright.site.errors import working_on
from stavewright.site.stages.values import BlockKey, SiteChecked, SiteEngraved, Tools


def engrave(site: SiteChecked, tools: Tools) -> SiteEngraved:
    """Draw every block that has no error; what cannot be drawn is a finding."""
    articles = [page.article for page in site.parsed.map.pages]
    errors = dict(_errors(articles, site.findings))
    blocks = {
        (article.path, index): block
        for article in articles
        for index, block in enumerate(article.blocks)
        if (article.path, index) not in errors
    }
    engraver = _engrave_all(blocks.values(), tools)
    figures = {}
    for key, block in blocks.items():
        with working_on(f"drawing {block.source.fence}"):
            drawn = draw(block.score, engraver)
        faults = tuple(_finding(block, it) for it in drawn if isinstance(it, EngravingFault))
        if faults:
            errors[key] = faults
        else:
            figures[key] = tuple(it for it in drawn if isinstance(it, Figure))
    found = [finding for findings in errors.values() for finding in findings]
    return SiteEngraved(site, figures, errors, in_order([*site.findings, *found]))


@dataclass(frozen=True, slots=True)
class _Drawn:
    """An engraver that has drawn everything already."""

    results: Mapping[EngravingJob, Drawing | EngravingFault]

    def engrave(self, jobs: Sequence[EngravingJob]) -> list[Drawing | EngravingFault]:
        return [self.results[job] for job in jobs]


def _engrave_all(blocks: Iterable[Block], tools: Tools) -> _Drawn:
    wanted: dict[EngravingJob, None] = {}
    for block in blocks:
        with working_on(f"drawing {block.source.fence}"):
            wanted.update(dict.fromkeys(staff_jobs(block.score)))
    jobs = list(wanted)
    tools.progress.stage("engrave", len(jobs))
    results = dict(zip(jobs, tools.engraver.engrave(jobs), strict=True)) if jobs else {}
    tools.progress.advance(len(jobs))
    return _Drawn(results)


def _errors(
    articles: Iterable[Article], findings: Iterable[Finding]
) -> Iterator[tuple[BlockKey, tuple[Finding, ...]]]:
    """The errors inside each block that has any."""
    by_file: dict[str, list[Finding]] = {}
    for finding in findings:
        if finding.severity is Severity.ERROR:
            by_file.setdefault(finding.span.file, []).append(finding)
    for article in articles:
        for index, block in enumerate(article.blocks):
            inside = _inside(block, by_file.get(block.source.file, []))
            if inside:
                yield (article.path, index), inside


def _inside(block: Block, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    first = block.source.fence.line
    last = max([first, *(line.line for line in block.source.lines)])
    return tuple(finding for finding in findings if first <= finding.span.line <= last)


def _finding(block: Block, fault: EngravingFault) -> Finding:
    message = f"{fault.message[:1].upper()}{fault.message[1:]}"
    reason = "The block reads well, but nothing can be drawn from it as it stands."
    return Finding("syntax", Severity.ERROR, block.source.fence, message, reason=reason)
