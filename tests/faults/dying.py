"""A process that writes a site and is killed at a given step of its work with the disk.

Every call of the operating system that Python makes on files, and that a kill could come before, is
an audit event (PEP 578); the process counts them and ends itself, as by `kill -9`, at the one it is
told.
"""

import os
import sys
from pathlib import Path

from stavewright.site.store import Store, digest
from stavewright.site.write import LazyFile, write_site

STEPS = (
    "open",
    "os.link",
    "os.listdir",
    "os.mkdir",
    "os.remove",
    "os.rename",
    "os.rmdir",
    "os.scandir",
    "os.truncate",
    "fcntl.flock",
    "sqlite3.connect",
    "shutil.rmtree",
)
KILLED = 137
"""What a shell reports of a process that was killed: 128 and the number of the signal."""


def write(texts: dict[str, str], site: Path) -> None:
    """Write a site, with its store beside it."""
    with Store.open(site.parent / "stores" / "kept.store") as store:
        files = (LazyFile(path, digest(text), text.encode) for path, text in texts.items())
        write_site(files, site, store)


def write_until(step: int, texts: dict[str, str], site: Path) -> None:
    """Write a site, and die at the step with this number, from 0, if there are so many."""
    left = step

    def count(event: str, _arguments: tuple[object, ...]) -> None:
        nonlocal left
        if event in STEPS:
            if left == 0:
                os._exit(KILLED)
            left -= 1

    sys.addaudithook(count)
    write(texts, site)
