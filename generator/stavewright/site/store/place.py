"""Where a content folder's store lies."""

import os
from pathlib import Path

import platformdirs

from stavewright.site.store.digest import digest

ENVIRONMENT = "STAVEWRIGHT_STORE"
"""The folder for stores, or `none`, where no option says it."""
_NONE = "none"


def store_file(content: Path, choice: str | None = None) -> Path | None:
    """The file that keeps what is made from this content folder; None for memory alone.

    `choice` is what the command line says, a folder or `none`; without it the environment variable
    `STAVEWRIGHT_STORE` decides, then the system's place for caches. The file is named after the
    folder's whole path, so each project has its own and none lies among the author's files.
    """
    chosen = choice or os.environ.get(ENVIRONMENT) or ""
    if chosen.lower() == _NONE:
        return None
    folder = Path(chosen) if chosen else platformdirs.user_cache_path("stavewright")
    return folder.absolute() / f"{digest(os.path.realpath(content)).hex()}.store"
