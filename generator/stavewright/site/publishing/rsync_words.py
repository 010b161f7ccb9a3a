"""What rsync says, understood, and names as its rules take them."""

import re
from collections.abc import Iterator
from typing import Final

from stavewright.site.targets import has_controls
from stavewright.site.write import MARKER

_NO_SUCH_FOLDER: Final = re.compile(rb"change_dir .* failed: .*\(2\)")
"""2 is ENOENT, in whatever language the other computer says it."""
_SENT: Final = re.compile(r"[<>]f(?P<how>\S+) (?P<path>.+)")
_LISTED: Final = re.compile(r"(?P<kind>\S)\S{9}\S* +[\d,.]+ +\S+ \S+ (?P<path>.+)")
_WILD: Final = re.compile(r"[*?\[]")


def no_such_folder(errors: bytes) -> bool:
    """Whether rsync failed because the folder to read from is not there."""
    return _NO_SUCH_FOLDER.search(errors) is not None


def sent_files(told: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The files that were new and those that changed, sorted, from the format `%i %n`."""
    new: list[str] = []
    changed: list[str] = []
    for match in filter(None, map(_SENT.fullmatch, told.split("\n"))):
        (new if match["how"].startswith("+") else changed).append(match["path"])
    return tuple(sorted(new)), tuple(sorted(changed))


def listed_entries(told: str) -> Iterator[tuple[str, bool]]:
    """The path of each entry of a listing, and whether it is a folder; not the folder itself.

    A link is given with where it leads, so that no link is taken for a file of its name.
    """
    for match in filter(None, map(_LISTED.fullmatch, told.split("\n"))):
        if match["path"] != ".":
            yield match["path"], match["kind"] == "d"


def escaped(path: str) -> str:
    """A path as a rule takes it that names just this."""
    # No path of ours has a backslash, the one other sign that a rule would take for more.
    return _WILD.sub(r"\\\g<0>", path)


def is_inside(path: str) -> bool:
    """Whether a line of a marker names a file below its folder, and not the marker.

    The marker comes from another computer, and whoever can write there could have it name anything.
    """
    parts = path.split("/")
    return path != MARKER and not has_controls(path) and not {"", ".", ".."} & set(parts)
