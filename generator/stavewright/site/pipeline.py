"""A build from end to end: the stages in order, each a plain function between frozen values."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from stavewright.figures.figure import Engraver
from stavewright.notation.finding import Finding
from stavewright.site.progress import Progress, Silent
from stavewright.site.report import Checked, LineOf, has_errors, lines_of
from stavewright.site.stages.check import check
from stavewright.site.stages.engrave import engrave
from stavewright.site.stages.parse import parse
from stavewright.site.stages.read import read
from stavewright.site.stages.render import render
from stavewright.site.stages.values import (
    Options,
    Rendered,
    Request,
    SiteChecked,
    SiteEngraved,
    Tools,
)
from stavewright.site.stages.write import write

__all__ = ["STAGES", "BuildReport", "Options", "Rendered", "Tools", "build", "render_site"]

Stage = Callable[[Any, Tools], Any]

STAGES: tuple[tuple[str, Stage], ...] = (
    ("read", read),
    ("parse", parse),
    ("check", check),
    ("engrave", engrave),
    ("render", render),
    ("write", write),
)
"""Each takes what the one before gives; a test holds the types of the chain together."""


@dataclass(frozen=True, slots=True)
class BuildReport:
    """What came of a build."""

    findings: tuple[Finding, ...]
    """In order."""
    checked: Checked
    pages: int
    """How many were written."""
    written: bool
    """Whether the output folder holds the new site; otherwise it is as it was."""
    line_of: LineOf
    drafts: int = 0
    """How many articles were left out because they are drafts."""

    @property
    def has_errors(self) -> bool:
        """Whether there is anything the author must mend."""
        return has_errors(self.findings)


def build(
    content: Path,
    output: Path,
    options: Options,
    engraver: Engraver,
    progress: Progress | None = None,
) -> BuildReport:
    """Build the site in `content` into `output`.

    Errors in the content stop the build before anything is written, unless the options keep it
    going. Raises `CannotRunError`, and `OSError` where a disk refuses; then too nothing is written.
    """
    tools = Tools(engraver, progress or Silent())
    request = Request(content, options, output)
    value: Any = request
    for _, stage in STAGES:
        value = stage(value, tools)
        if isinstance(value, SiteChecked | SiteEngraved) and _stops(value, options):
            return _stopped(value)
    site: Rendered = value.rendered
    return BuildReport(
        findings=site.findings,
        checked=site.checked,
        pages=len(site.pages),
        written=True,
        line_of=lines_of(site.texts),
        drafts=site.drafts,
    )


def render_site(content: Path, options: Options, tools: Tools) -> Rendered:
    """The site in memory, whatever is wrong with its content. Raises `CannotRunError`."""
    value: Any = Request(content, options)
    for _, stage in STAGES[:-1]:
        value = stage(value, tools)
    rendered: Rendered = value
    return rendered


def _stops(site: SiteChecked | SiteEngraved, options: Options) -> bool:
    return has_errors(site.findings) and not options.keep_going


def _stopped(site: SiteChecked | SiteEngraved) -> BuildReport:
    checked = site.checked if isinstance(site, SiteEngraved) else site
    texts = checked.parsed.read.content.texts
    return BuildReport(site.findings, checked.checked, 0, False, lines_of(texts))
