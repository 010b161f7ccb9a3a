"""`stavewright new`: start an article."""

from pathlib import Path

import click

from stavewright.commands.options import content_option


@click.command()
@click.argument("article")
@content_option
def new(article: str, content: Path) -> None:
    """Start an article, named by its title or its path.

    Front matter and a first music block are filled in. The article begins as a draft: the preview
    shows it, a build leaves it out until you take the line `draft: true` away.

    \b
    Examples:
      stavewright new "Why is it called G sharp?"
      stavewright new answers/g-sharp.md
    """
    from datetime import date

    from stavewright.site.new import start_article

    path = start_article(article, content, date.today())
    click.echo(f"Started {path}. See it with `stavewright preview`.")
