"""`stavewright build`: check, engrave and write the site."""

from pathlib import Path

import click

from stavewright.commands.options import content_option, output_option, theme_option
from stavewright.commands.telling import progress_bar, say_build


@click.command()
@content_option
@output_option
@theme_option
@click.option(
    "--keep-going", is_flag=True, help="Build the rest in spite of errors, and show them."
)
@click.option("--drafts", is_flag=True, help="Build drafts as well.")
@click.option("--workers", type=click.IntRange(1, 64), help="Processes that engrave.")
def build(
    content: Path,
    output: Path,
    theme: str | None,
    keep_going: bool,
    drafts: bool,
    workers: int | None,
) -> None:
    """Check, engrave and write the site.

    The site is replaced whole or not at all: while there are errors, the last good one stays.

    \b
    Examples:
      stavewright build
      stavewright build --keep-going --drafts --output look
    """
    from stavewright.figures.engraver import Pool
    from stavewright.site.pipeline import Options
    from stavewright.site.pipeline import build as build_site

    options = Options(keep_going=keep_going, drafts=drafts, theme=theme)
    with Pool(workers) as engraver, progress_bar() as progress:
        report = build_site(content, output, options, engraver, progress)
    say_build(report, output)
