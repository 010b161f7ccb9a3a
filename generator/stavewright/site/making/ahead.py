"""Whether makers will be wanted, guessed before anything is read."""

import os
from pathlib import Path

from stavewright.site.write.marker import MARKER

_ENOUGH = 20_000
"""Files after which it would have been quicker not to look."""


def likely_changed(content: Path, output: Path) -> bool:
    """Whether something in a content folder seems to be newer than the site in `output`.

    Starting a maker takes longer than all else over one changed word. Times of files may lie,
    so this is good for a guess: it decides when a maker is started, never what is made.
    """
    try:
        built = os.stat(output / MARKER).st_mtime_ns
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
