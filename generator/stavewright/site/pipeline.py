"""A build from end to end: the stages in order, each a plain function between frozen values."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from threading import Thread
from typing import Any, Final

from stavewright.notation.finding import Finding
from stavewright.site.explain import PageChange
from stavewright.site.lines import lines_on_disk
from stavewright.site.report import Checked, LineOf, has_errors
from stavewright.site.settled import Settled, Settling
from stavewright.site.stages.read import read
from stavewright.site.stages.values import (
    Options,
    Request,
    SiteChecked,
    SiteComposed,
    SiteRead,
    Tools,
    Written,
)

__all__ = ["STAGES", "BuildReport", "Options", "Tools", "build", "compose_site", "stage"]

Stage = Callable[[Any, Tools], Any]

STAGES: Final = ("read", "make", "place", "check", "compose", "write")
"""In order. Each takes what the one before gives; a test holds the types of the chain together."""


def stage(name: str) -> Stage:
    """The function of a stage, which stands in the module of that name.

    Loaded when its turn comes: where nothing changed, none but the first is needed.
    """
    found: Stage = getattr(import_module(f"stavewright.site.stages.{name}"), name)
    return found


@dataclass(frozen=True, slots=True)
class BuildReport:
    """What came of a build."""

    findings: tuple[Finding, ...]
    """In order."""
    checked: Checked
    pages: int
    """How many the site has; none where it was not written."""
    written: bool
    """Whether the output folder holds the new site; otherwise it is as it was."""
    line_of: LineOf
    drafts: int = 0
    """How many articles were left out because they are drafts."""
    articles: int = 0
    """How many articles were made anew, and not taken from an earlier build."""
    changes: tuple[PageChange, ...] = ()
    """The pages that were made anew, and why."""

    kept: int = 0
    """How many pages were kept as they were."""
    site: bytes = b""
    """A digest of the site as it was left; see `stavewright.site.write.holding`."""

    @property
    def has_errors(self) -> bool:
        """Whether there is anything the author must mend."""
        return has_errors(self.findings)


def build(content: Path, output: Path, options: Options, tools: Tools) -> BuildReport:
    """Build the site in `content` into `output`.

    Errors in the content stop the build before anything is written, unless the options keep it
    going. Raises `CannotRunError`, and `OSError` where a disk refuses; then too nothing is written.
    """
    site = read(Request(content, options, output), tools)
    settling = Settling(site, tools)
    last = settling.last()
    if last is not None:
        return _as_before(site, last)
    Thread(target=_get_ready, args=(site,)).start()
    value: Any = site
    for name in STAGES[1:]:
        value = stage(name)(value, tools)
        if isinstance(value, SiteChecked) and has_errors(value.findings) and not options.keep_going:
            return _stopped(value)
    settling.note(value)
    return _report(value)


def _get_ready(site: SiteRead) -> None:
    """Load what comes after `make` while makers work and this process would wait for them."""
    for name in STAGES[2:]:
        stage(name)
    from stavewright.site.composer import renderer_of

    renderer_of(site.theme, site.templates).compile()


def compose_site(content: Path, options: Options, tools: Tools) -> SiteComposed:
    """The site, planned, whatever is wrong with its content. Raises `CannotRunError`."""
    value: Any = Request(content, options)
    for name in STAGES[:-1]:
        value = stage(name)(value, tools)
    composed: SiteComposed = value
    return composed


def _report(site: Written) -> BuildReport:
    checked = site.composed.checked
    made = checked.placed.made
    return BuildReport(
        findings=checked.findings,
        checked=checked.checked,
        pages=len(checked.placed.map.pages),
        written=True,
        line_of=lines_on_disk(made.read.listing),
        drafts=len(checked.placed.drafts),
        articles=made.anew,
        changes=site.changes,
        kept=len(site.composed.pages) - len(site.changes),
        site=site.report.site if site.report is not None else b"",
    )


def _as_before(site: SiteRead, last: Settled) -> BuildReport:
    return BuildReport(
        findings=last.findings,
        checked=last.checked,
        pages=last.pages,
        written=True,
        line_of=lines_on_disk(site.listing),
        drafts=last.drafts,
        kept=last.planned,
        site=last.site,
    )


def _stopped(site: SiteChecked) -> BuildReport:
    made = site.placed.made
    line_of = lines_on_disk(made.read.listing)
    return BuildReport(site.findings, site.checked, 0, False, line_of, articles=made.anew)
