"""A maker that is started before anything is read, where one will likely be wanted.

It takes longer to start than all else over one changed word, so this is what a build does first,
and nothing is imported here that takes long to load.
"""

import os
from pathlib import Path
from typing import Final

from stavewright.figures.child import Child
from stavewright.site.sign import SIGN

MAKER: Final = "stavewright.site.making.maker"
"""The module that makers run."""

_ENOUGH = 20_000
"""Files after which it would have been quicker not to look."""


def started_ahead(content: Path, output: Path) -> Child | None:
    """A maker's process for a `Workshop`, if something in a content folder seems to be new."""
    if not likely_changed(content, output):
        return None
    child = Child(MAKER)
    child.start()
    return child


def likely_changed(content: Path, output: Path) -> bool:
    """Whether something in a content folder seems to be newer than the site in `output`.

    Times of files may lie, so this is good for a guess: it decides when a maker is started, never
    what is made.
    """
    try:
        built = os.stat(output / SIGN).st_mtime_ns
    except OSError:
        return True
    waiting = [os.fspath(content)]
    seen = 0
    while waiting and seen < _ENOUGH:
        try:
            with os.scandir(waiting.pop()) as entries:
                for entry in entries:
                    seen += 1
                    if entry.name.startswith("."):
                        continue
                    if entry.is_dir(follow_symlinks=False):
                        waiting.append(entry.path)
                    elif entry.stat(follow_symlinks=False).st_mtime_ns > built:
                        return True
        except OSError:
            return True
    return False
