"""Small written sites to publish, and the programs that publishing is tested with."""

import shutil
import subprocess
from pathlib import Path

import pytest

from stavewright.site.publishing.changes import Site
from stavewright.site.write import OutputFile, listed, write_site

needs_git = pytest.mark.skipif(shutil.which("git") is None, reason="there is no `git` command")
needs_rsync = pytest.mark.skipif(
    shutil.which("rsync") is None, reason="there is no `rsync` command"
)

HOSTILE = {
    "-rf": "an option",
    "--delete/-x": "two options",
    '"quoted".html': "a quotation mark first",
    "#comment/;also": "comments",
    "two  words /x ": "spaces, the last at the end",
    "* [ab]?/*.html": "wild signs",
    "- *": "a rule",
    "P *": "a rule of another kind",
    "!": "the rule that forgets all rules",
    "a -> b": "a link",
    "é/ø\u200d\u00a0𝄞.html": "letters beyond ASCII",
    "$(touch x)/`y`;&|'": "a shell's signs",
    ":host:x": "hosts",
    "~/.~tmp~": "what programs make beside files",
    "hé/@{-1}": "what names the branch before",
}
"""Names that a program could take for something else, and why."""


def write(texts: dict[str, str], folder: Path) -> Site:
    """A site as a build writes it."""
    write_site([OutputFile(path, text.encode()) for path, text in texts.items()], folder)
    return Site(folder.resolve(), tuple(listed(folder)))


def git(folder: Path, *arguments: str) -> str:
    """What git answers, as the author would ask it."""
    command = ["git", "-C", str(folder), *arguments]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    return done.stdout.removesuffix("\n")
