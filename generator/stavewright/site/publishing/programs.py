"""Other programs, run to the end, and what they say."""

import os
import shutil
import subprocess
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from stavewright.site.errors import CannotRunError


@dataclass(frozen=True, slots=True)
class Done:
    """What came of running a program."""

    code: int
    """0 if it did what it was asked."""
    out: bytes
    errors: bytes

    @property
    def text(self) -> str:
        """What it printed, without the last line end."""
        return self.out.decode("utf-8", "surrogateescape").removesuffix("\n")

    @property
    def words(self) -> str:
        """What it says went wrong, indented to stand on lines of its own, safe for a terminal.

        A program may pass on what another computer says, and that may be anything.
        """
        said = self.errors.decode("utf-8", "replace").replace("\t", " ").splitlines()
        lines = [printable(line).rstrip() for line in said]
        return "\n".join(f"  {line}" for line in lines if line)


def require(program: str, package: str) -> None:
    """Raise `CannotRunError` where there is no such program."""
    if shutil.which(program) is None:
        raise CannotRunError(
            f"there is no program `{program}` on this computer; install {package}, "
            "or publish to a folder"
        )


def run(
    command: Sequence[str],
    *,
    given: bytes = b"",
    folder: Path | None = None,
    environment: Mapping[str, str] | None = None,
) -> Done:
    """Run a command in a folder and wait for it; `given` is what it reads.

    Its messages are asked for in English, since some are looked for in them.
    """
    around = os.environ if environment is None else environment
    done = subprocess.run(
        command,
        input=given,
        capture_output=True,
        cwd=folder,
        env={**around, "LC_ALL": "C"},
        check=False,
    )
    return Done(done.returncode, done.stdout, done.stderr)


def printable(text: str) -> str:
    """A text with nothing in it that a terminal would obey instead of show."""
    return "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)
