"""What publishing to a folder would change; `build` itself puts a site into its place."""

import filecmp
from collections.abc import Iterator
from pathlib import Path

from stavewright.site.publishing.changes import Changes, Site
from stavewright.site.write import is_ours, listed, refuse_unsafe


def changes_in_folder(site: Site, target: Path) -> Changes:
    """How a folder differs from a site that stands elsewhere.

    Raises `OutputError` where the folder may not be replaced.
    """
    refuse_unsafe(target, site.folder)
    there = set(listed(target) if is_ours(target) else ())
    here = set(site.files)
    return Changes(
        new=tuple(sorted(here - there)),
        changed=tuple(sorted(_different(site.folder, target, here & there))),
        gone=tuple(sorted(there - here)),
    )


def _different(one: Path, other: Path, paths: set[str]) -> Iterator[str]:
    for path in paths:
        try:
            same = filecmp.cmp(one / path, other / path, shallow=False)
        except FileNotFoundError:
            same = False
        if not same:
            yield path
