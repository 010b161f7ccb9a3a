"""`stavewright publish`: build the site and put it where readers find it."""

from pathlib import Path

import click

from stavewright.commands.options import content_option, theme_option
from stavewright.commands.telling import building, say_build


@click.command()
@content_option
@theme_option
@click.option(
    "--folder", type=click.Path(path_type=Path), help="Where to, instead of the settings' folder."
)
def publish(content: Path, theme: str | None, folder: Path | None) -> None:
    """Build the site and put it where readers find it.

    A build with errors is not published, and drafts never are.

    The target is replaced whole or not at all, and only if it is empty or an earlier publication.

    \b
    Example, with `publish: {folder: ../public}` in content/site.yaml:
      stavewright publish
    """
    from stavewright.site.publish import publish_site

    with building(content) as tools:
        report, target = publish_site(content, folder, theme, tools)
    say_build(report, target)
