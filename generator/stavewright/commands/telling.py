"""What commands say of findings, of a build and of its progress."""

import gc
import os
import shutil
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
    from stavewright.site.publishing import Changes, Publication
    from stavewright.site.report import Checked, LineOf
    from stavewright.site.stages.values import Tools


def _colour() -> bool:
    """Whether to colour what goes to standard output (no-color.org)."""
    plain = os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    return sys.stdout.isatty() and not plain


def _width() -> int:
    """How many columns there are; many where a file or another program takes the output."""
    return shutil.get_terminal_size().columns if sys.stdout.isatty() else _UNBOUNDED


_UNBOUNDED = 1000


def say_findings(
    findings: "tuple[Finding, ...]",
    line_of: "LineOf",
    checked: "Checked",
    *,
    every: bool = False,
) -> None:
    """Print findings, if there are any, and how much was checked.

    Of a file with very many only the first, unless `every` one is asked for.
    """
    from stavewright.site.report import MOST_OF_A_FILE, findings_text, summary_text

    if findings:
        most = None if every else MOST_OF_A_FILE
        text = findings_text(findings, line_of, colour=_colour(), width=_width(), most=most)
        click.echo(text, color=True)
        click.echo()
    click.echo(summary_text(findings, checked))


def say_build(report: "BuildReport", output: Path, *, explain: bool = False) -> None:
    """Print what a build found and wrote, and perhaps why; exit where there are errors."""
    from stavewright.site.report import counted

    say_findings(report.findings, report.line_of, report.checked)
    if explain and report.written:
        from stavewright.site.explain import explained

        for line in explained(report):
            click.echo(line)
    if report.written:
        click.echo(f"Wrote {counted(report.pages, 'page')} to {output}{_left_out(report)}.")
    else:
        still = f"; {output} is as it was" if output.exists() else ""
        click.echo(f"Nothing was written{still}.", err=True)
    if report.has_errors:
        sys.exit(FOUND_ERRORS)


def _left_out(report: "BuildReport") -> str:
    """What a beginner would look for in vain."""
    from stavewright.site.report import counted

    if not report.drafts:
        return ""
    return f"; {counted(report.drafts, 'draft')} left out (`draft: true`)"


def say_publication(publication: "Publication", *, only_look: bool) -> None:
    """Print what publishing changed, or would."""
    changes = publication.changes
    if changes is None:
        return
    place = publication.place
    if only_look:
        for line in _changed_files(changes):
            click.echo(line)
    if not changes:
        click.echo(f"Nothing {'would change' if only_look else 'changed'} in {place}.")
    else:
        done = "Would publish" if only_look else "Published"
        click.echo(f"{done} to {place}: {_counts(changes)}.")
    for line in publication.said:
        click.echo(line)


def _changed_files(changes: "Changes") -> "Iterator[str]":
    """A line for each file, but no more of one kind than are read."""
    from stavewright.site.publishing import printable
    from stavewright.site.report import MOST_OF_A_FILE

    for word, paths in _kinds(changes):
        for path in paths[:MOST_OF_A_FILE]:
            yield f"{word:<8}{printable(path)}"
        if len(paths) > MOST_OF_A_FILE:
            yield f"{word:<8}… and {len(paths) - MOST_OF_A_FILE} more"


def _counts(changes: "Changes") -> str:
    from stavewright.site.report import counted

    (first, count), *others = ((word, len(paths)) for word, paths in _kinds(changes) if paths)
    return ", ".join([f"{counted(count, 'file')} {first}", *(f"{n} {word}" for word, n in others)])


def _kinds(changes: "Changes") -> "tuple[tuple[str, tuple[str, ...]], ...]":
    return ("new", changes.new), ("changed", changes.changed), ("gone", changes.gone)


@contextmanager
def building(
    content: Path, workers: int | None = None, store: str | None = None, output: Path | None = None
) -> "Iterator[Tools]":
    """What a build of a content folder works with; nothing is started before it is needed.

    `store` is what `--store` says. If the site in `output` seems to be older than its content, one
    maker is started at once.
    """
    from stavewright.site.making.ahead import started_ahead

    ahead = None if output is None else started_ahead(content, output)
    # Loaded while that maker starts.
    from stavewright.site.making.workshop import Workshop

    with _seldom_collecting(), Workshop(workers, ahead=ahead) as makers:
        from stavewright.site.stages.values import Tools
        from stavewright.site.store import Store, store_file

        place = store_file(content, store)
        with progress_bar() as progress, Store.open(place) as opened:
            yield Tools(makers, progress, opened)
    for notice in opened.notices:
        click.echo(notice, err=True)


@contextmanager
def _seldom_collecting() -> "Iterator[None]":
    """Look for circles among objects seldom: a site is a hundred thousand, and has next to none."""
    usual = gc.get_threshold()
    gc.set_threshold(_OBJECTS, *usual[1:])
    try:
        yield
    finally:
        gc.set_threshold(*usual)


_OBJECTS = 100_000
"""New ones between two looks."""


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
