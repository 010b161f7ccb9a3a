"""Where the relative paths that authors write lead to."""

import posixpath
import re

WINDOWS_DRIVE = re.compile(r"[A-Za-z]:")


def resolve(path: str, target: str) -> str | None:
    """Where a relative `target` leads from the article at `path`: a path below the content folder.

    None where it leaves the content folder or is no relative path. Empty means this page.
    """
    if not target:
        return path
    if target.startswith("/") or "\\" in target or "\0" in target or WINDOWS_DRIVE.match(target):
        return None
    found = posixpath.normpath(posixpath.join(posixpath.dirname(path), target))
    return None if found == ".." or found.startswith("../") else found
