"""`stavewright describe`: the text for the video's description."""

from pathlib import Path

import click

from stavewright.commands.options import content_option


@click.command()
@click.argument("article", type=click.Path(path_type=Path))
@content_option
def describe(article: Path, content: Path) -> None:
    """Print the text for an article's video description.

    Summary, chapters from 0:00, addresses of the article and its sections, credits and what must be
    disclosed, within the length that the settings allow.

    \b
    Example:
      stavewright describe content/answers/g-sharp.md
    """
    from stavewright.site.describing import describe_article

    description = describe_article(article, content)
    for part in description.omitted:
        click.echo(f"Left out to keep within the length: {part}.", err=True)
    click.echo(description.text)
