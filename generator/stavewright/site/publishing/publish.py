"""Publishing from end to end: where to, a build without errors, and then there."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from stavewright.site.content import list_content
from stavewright.site.errors import CannotRunError
from stavewright.site.pipeline import BuildReport, build
from stavewright.site.publishing.branch import Branch
from stavewright.site.publishing.changes import Changes, Site
from stavewright.site.publishing.folder import changes_in_folder
from stavewright.site.publishing.rsync import Destination
from stavewright.site.settings import SETTINGS_FILE, Settings, read_settings
from stavewright.site.stages.values import Options, Tools
from stavewright.site.targets import Target, ToBranch, ToFolder, ToRsync, below
from stavewright.site.write import holding


@dataclass(frozen=True, slots=True)
class Wish:
    """What the author asks for."""

    content: Path
    output: Path = Path("site")
    """Where the site is built, unless that is the folder it is published to."""
    target: Target | None = None
    """None for what the settings say."""
    remote: str | None = None
    """The remote to push a branch to, instead of the one that the target names."""
    only_look: bool = False
    """Say what would change, and change nothing but what stands in `output`."""
    theme: str | None = None


@dataclass(frozen=True, slots=True)
class Publication:
    """What came of it."""

    report: BuildReport
    built: Path
    """Where the site was built."""
    changes: Changes | None = None
    """What publishing changed, or would; None where that was the build itself, or there is none."""
    place: str = ""
    """The place, as in "Published to …"."""
    said: tuple[str, ...] = ()
    """More that the author should know."""


def publish_site(wish: Wish, tools: Tools) -> Publication:
    """Build the site and put it where the wish or the settings say.

    Drafts never go out, nor does a build with errors, nor anything but the site as it was built.
    Whether the place can be had is asked first, before a build that may take minutes. Raises
    `CannotRunError`, and `OSError` where a disk refuses.
    """
    target = _target(wish)
    options = Options(theme=wish.theme)
    if isinstance(target, ToFolder) and not wish.only_look:
        # Built straight into its place: `write` swaps it in at the end, so readers see the old site
        # or the new one and nothing between.
        return Publication(build(wish.content, target.folder, options, tools), target.folder)
    put = _way_to(target, wish)
    report = build(wish.content, wish.output, options, tools)
    if not report.written:
        return Publication(report, wish.output)
    with holding(wish.output, tools.store, report.site) as files:
        return put(report, Site(wish.output.resolve(), files))


Put = Callable[[BuildReport, Site], Publication]


def _way_to(target: Target, wish: Wish) -> Put:
    """How a site gets to its target. Raises `CannotRunError` where it cannot."""
    match target:
        case ToFolder(folder):
            if folder.resolve() == wish.output.resolve():
                raise CannotRunError(
                    f"{folder} is the folder that the site is built in, so there is nothing to "
                    "compare; name another with --output"
                )
            return partial(_compared, folder, wish)
        case ToBranch():
            return partial(_committed, Branch.of(target, wish.content), wish)
        case ToRsync():
            return partial(_sent, Destination.of(target, wish.content, wish.output), wish)


def _compared(folder: Path, wish: Wish, report: BuildReport, site: Site) -> Publication:
    changes = changes_in_folder(site, folder)
    return Publication(report, wish.output, changes, f"the folder {folder}")


def _committed(branch: Branch, wish: Wish, report: BuildReport, site: Site) -> Publication:
    place = f"the branch {branch.name}"
    if wish.only_look:
        return Publication(report, wish.output, branch.changes(site), place)
    changes, said = branch.publish(site)
    return Publication(report, wish.output, changes, place, said)


def _sent(destination: Destination, wish: Wish, report: BuildReport, site: Site) -> Publication:
    changes = destination.changes(site) if wish.only_look else destination.publish(site)
    return Publication(report, wish.output, changes, destination.name)


def _target(wish: Wish) -> Target:
    target = wish.target if wish.target is not None else _target_in_settings(wish.content)
    if wish.remote is None:
        return target
    if not isinstance(target, ToBranch):
        raise CannotRunError("--push is for a branch, and the site is published elsewhere")
    return replace(target, remote=wish.remote)


def _target_in_settings(content: Path) -> Target:
    source = list_content(content).settings
    settings, findings = read_settings(source.text, source.file) if source else (Settings(), ())
    if settings.publish is None:
        file = content / SETTINGS_FILE
        mistakes = f" (it has mistakes now; see `stavewright check {file}`)" if findings else ""
        raise CannotRunError(
            "nothing says where to publish to; name a place with --folder, --branch or --rsync, "
            f"or write\n  publish:\n    folder: ../public\ninto {file}{mistakes}"
        )
    return below(settings.publish, content)
