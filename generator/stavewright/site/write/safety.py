"""What keeps a build from replacing a folder: anything in it that would be lost."""

import os
from collections.abc import Iterator
from pathlib import Path

from stavewright.site.errors import OutputError
from stavewright.site.write.marker import MARKER, Names, is_ours, listed

_SYSTEM_LITTER = {".DS_Store", "Thumbs.db", "desktop.ini"}
"""What file browsers drop into any folder they show; no author would miss it."""


def refuse_unsafe(output: Path, *sources: Path) -> None:
    """Raise `OutputError` unless `output` may be replaced without losing anything.

    `sources` are the folders the site is made from: content and theme.
    """
    if output.is_symlink():
        raise OutputError(f"the output {output} is a link to another place; name the folder itself")
    resolved = output.resolve()
    here = Path.cwd().resolve()
    if resolved == here or resolved in here.parents:
        raise OutputError(
            f"the output {output} is the folder this command runs in, or holds it; "
            "choose a folder of its own, such as `site`"
        )
    for source in sources:
        _refuse_overlap(output, resolved, source)
    if resolved.exists():
        _refuse_foreign(output, resolved)


def _refuse_overlap(output: Path, resolved: Path, source: Path) -> None:
    origin = source.resolve()
    if resolved == origin or origin in resolved.parents:
        raise OutputError(f"the output {output} lies inside {source}, which it is made from")
    if resolved in origin.parents:
        raise OutputError(f"the output {output} holds {source}, which it is made from")


def _refuse_foreign(output: Path, resolved: Path) -> None:
    if not resolved.is_dir():
        raise OutputError(f"the output {output} is a file; choose a folder")
    if not is_ours(resolved):
        if next(_entries(resolved), None) is not None:
            raise OutputError(
                f"the output {output} is not empty and Stavewright did not make it; "
                "choose another folder, or empty this one yourself"
            )
        return
    known = Names(listed(resolved))
    foreign = min(
        (path for path in _entries(resolved) if path != MARKER and known.find(path) is None),
        default=None,
    )
    if foreign is not None:
        raise OutputError(
            f"the output {output} holds {foreign!r}, which Stavewright did not write and would "
            "delete; move it elsewhere (files in the content folder are copied into the site)"
        )


def _entries(folder: Path) -> Iterator[str]:
    """Every file and link below a folder, with `/`; links are not followed."""
    waiting = [""]
    while waiting:
        below = waiting.pop()
        with os.scandir(folder / below) as entries:
            for entry in entries:
                if entry.is_dir(follow_symlinks=False):
                    waiting.append(f"{below}{entry.name}/")
                elif entry.name not in _SYSTEM_LITTER:
                    yield f"{below}{entry.name}"
