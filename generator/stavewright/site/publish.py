"""Publishing: a build without errors, put where readers find it.

A target is anything that takes the files of a site whole or not at all. The folder below is the
first one; others can stand beside it.
"""

from pathlib import Path

from stavewright.site.content import read_content
from stavewright.site.errors import CannotRunError
from stavewright.site.pipeline import BuildReport, build
from stavewright.site.project import settings_of
from stavewright.site.settings import SETTINGS_FILE
from stavewright.site.stages.values import Options, Tools


def publish_site(
    content: Path, folder: Path | None, theme: str | None, tools: Tools
) -> tuple[BuildReport, Path]:
    """Build the site into `folder`, or the folder that the settings name.

    Gives what came of it, and the folder. Drafts never go out, nor does a build with errors. Raises
    `CannotRunError`.
    """
    target = folder if folder is not None else _folder_in_settings(content)
    # Built straight into its place: `write` swaps it in at the end, so readers see the old site or
    # the new one and nothing between.
    return build(content, target, Options(theme=theme), tools), target


def _folder_in_settings(content: Path) -> Path:
    settings, findings = settings_of(read_content(content))
    if settings.publish_folder is None:
        file = content / SETTINGS_FILE
        mistakes = f" (it has mistakes now; see `stavewright check {file}`)" if findings else ""
        raise CannotRunError(
            "nothing says where to publish to; name a folder with --folder, or write\n"
            f"  publish:\n    folder: ../public\ninto {file}{mistakes}"
        )
    return (content / settings.publish_folder).resolve()
