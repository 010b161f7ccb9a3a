"""What keeps a build from replacing a folder: anything in it that would be lost."""

from pathlib import Path

from stavewright.site.errors import OutputError
from stavewright.site.write.marker import MARKER, Names, is_ours, listed
from stavewright.site.write.walk import is_litter, paths_below


def refuse_unsafe(output: Path, *sources: Path) -> None:
    """Raise `OutputError` unless `output` may be replaced without losing anything.

    `sources` are the folders the site is made from: content and theme.
    """
    refuse_place(output, *sources)
    if output.exists():
        refuse_foreign(output)


def refuse_place(output: Path, *sources: Path) -> None:
    """As `refuse_unsafe`, but whatever lies in the folder."""
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
    if resolved.exists() and not resolved.is_dir():
        raise OutputError(f"the output {output} is a file; choose a folder")


def _refuse_overlap(output: Path, resolved: Path, source: Path) -> None:
    origin = source.resolve()
    if resolved == origin or origin in resolved.parents:
        raise OutputError(f"the output {output} lies inside {source}, which it is made from")
    if resolved in origin.parents:
        raise OutputError(f"the output {output} holds {source}, which it is made from")


def refuse_foreign(folder: Path) -> None:
    """Raise `OutputError` if a folder holds anything that Stavewright did not write."""
    path = foreign_in(folder)
    if path is not None:
        raise foreign(folder, path)


def foreign(folder: Path, path: str) -> OutputError:
    """What to say of a path in a folder that Stavewright did not write."""
    if not is_ours(folder):
        return OutputError(
            f"the output {folder} is not empty and Stavewright did not make it; "
            "choose another folder, or empty this one yourself"
        )
    return OutputError(
        f"the output {folder} holds {path!r}, which Stavewright did not write and would "
        "delete; move it elsewhere (files in the content folder are copied into the site)"
    )


def foreign_in(folder: Path, *besides: str) -> str | None:
    """The first path in a folder, `besides` left out, that Stavewright did not write."""
    known = Names((MARKER, *besides, *listed(folder)) if is_ours(folder) else ())
    for path in paths_below(folder):
        if known.find(path) is None and not is_litter(path):
            return path
    return None
