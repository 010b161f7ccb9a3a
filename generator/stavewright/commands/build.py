"""`stavewright build`: check, engrave and write the site."""

from pathlib import Path

import click

from stavewright.commands.options import (
    content_option,
    output_option,
    store_option,
    theme_option,
)
from stavewright.commands.telling import building, say_build


@click.command()
@content_option
@output_option
@theme_option
@click.option(
    "--keep-going", is_flag=True, help="Build the rest in spite of errors, and show them."
)
@click.option("--drafts", is_flag=True, help="Build drafts as well.")
@click.option("--explain", is_flag=True, help="Say which pages were made again, and why.")
@store_option
@click.option("--workers", type=click.IntRange(1, 64), help="Processes that make articles.")
def build(
    content: Path,
    output: Path,
    theme: str | None,
    keep_going: bool,
    drafts: bool,
    explain: bool,
    store: str | None,
    workers: int | None,
) -> None:
    """Check, engrave and write the site.

    The site is replaced whole or not at all: while there are errors, the last good one stays. Only
    what changed since an earlier build is made again.

    \b
    Examples:
      stavewright build
      stavewright build --keep-going --drafts --output look
      stavewright build --explain
    """
    with building(content, workers, store, output) as tools:
        # Loaded while the first maker starts, if one is likely to be wanted.
        from stavewright.site.pipeline import Options
        from stavewright.site.pipeline import build as build_site

        options = Options(keep_going=keep_going, drafts=drafts, theme=theme)
        report = build_site(content, output, options, tools)
    say_build(report, output, explain=explain)
