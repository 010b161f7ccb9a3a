"""`stavewright publish`: build the site and put it where readers find it."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from stavewright.commands.options import content_option, output_option, store_option, theme_option
from stavewright.commands.telling import building, say_build, say_publication

if TYPE_CHECKING:
    from stavewright.site.targets import Target

_ORIGIN = "origin"


@click.command()
@content_option
@output_option
@theme_option
@click.option("--folder", type=click.Path(path_type=Path), help="Publish to this folder.")
@click.option("--branch", metavar="NAME", help="Publish to this branch of a git repository.")
@click.option(
    "--repository",
    type=click.Path(path_type=Path),
    help="A folder of that repository.  [default: the content folder]",
)
@click.option(
    "--push",
    metavar="[REMOTE]",
    is_flag=False,
    flag_value=_ORIGIN,
    help="Then push the branch to this remote, `origin` if you name none.",
)
@click.option("--rsync", metavar="DESTINATION", help="Publish with rsync, as to `host:folder`.")
@click.option("--dry-run", is_flag=True, help="Say what would change there, and change nothing.")
@store_option
def publish(
    content: Path,
    output: Path,
    theme: str | None,
    folder: Path | None,
    branch: str | None,
    repository: Path | None,
    push: str | None,
    rsync: str | None,
    dry_run: bool,
    store: str | None,
) -> None:
    """Build the site and put it where readers find it.

    A build with errors is not published, and drafts never are. Where to is said in the settings;
    --folder, --branch and --rsync say it instead.

    A folder is replaced whole or not at all, and only if it is empty or an earlier publication. To
    a branch the site goes as one commit; the branch you are on and your files stay as they
    are. With rsync, only what an earlier publication put there is ever replaced or deleted.

    \b
    Examples, the first with `publish: {folder: ../public}` in content/site.yaml:
      stavewright publish
      stavewright publish --branch pages --push
      stavewright publish --rsync me@example.org:public_html --dry-run
    """
    target = _target(folder, branch, repository, rsync)
    with building(content, store=store) as tools:
        from stavewright.site.publishing import Wish, publish_site

        wish = Wish(content, output, target, push, only_look=dry_run, theme=theme)
        publication = publish_site(wish, tools)
    say_build(publication.report, publication.built)
    say_publication(publication, only_look=dry_run)


def _target(
    folder: Path | None, branch: str | None, repository: Path | None, rsync: str | None
) -> "Target | None":
    from stavewright.site.targets import ToBranch, ToFolder, ToRsync

    if sum(place is not None for place in (folder, branch, rsync)) > 1:
        raise click.UsageError("Name one place: --folder, --branch or --rsync.")
    if repository is not None and branch is None:
        raise click.UsageError("--repository goes with --branch.")
    if folder is not None:
        return ToFolder(folder)
    if branch is not None:
        return ToBranch(branch, repository)
    return ToRsync(rsync) if rsync is not None else None
