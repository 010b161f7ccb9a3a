"""What commands say of findings, of a build and of its progress."""

import os
import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stavewright.commands.options import FOUND_ERRORS

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stavewright.notation.finding import Finding
    from stavewright.site.pipeline import BuildReport
    from stavewright.site.progress import Progress
    from stavewright.site.report import Checked, LineOf


def _colour() -> bool:
    """Whether to colour what goes to standard output (no-color.org)."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def say_findings(findings: "tuple[Finding, ...]", line_of: "LineOf", checked: "Checked") -> None:
    """Print findings, if there are any, and how much was checked."""
    from stavewright.site.report import findings_text, summary_text

    if findings:
        click.echo(findings_text(findings, line_of, colour=_colour()), color=True)
        click.echo()
    click.echo(summary_text(findings, checked))


def say_build(report: "BuildReport", output: Path) -> None:
    """Print what a build found and wrote; exit where there are errors."""
    say_findings(report.findings, report.line_of, report.checked)
    if report.written:
        click.echo(f"Wrote {report.pages} pages to {output}.")
    else:
        click.echo(f"Nothing was written; {output} is as it was.", err=True)
    if report.has_errors:
        sys.exit(FOUND_ERRORS)


@contextmanager
def progress_bar() -> "Iterator[Progress]":
    """A bar on a terminal; nothing where the output goes to a file or another program."""
    from stavewright.site.progress import Silent

    if not sys.stderr.isatty():
        yield Silent()
        return
    from stavewright.site.progress_bar import ProgressBar

    with ProgressBar() as bar:
        yield bar
