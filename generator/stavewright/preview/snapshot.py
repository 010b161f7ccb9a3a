"""One build of the site as the preview shows it: kept in memory, never written to a disk."""

import os
import traceback
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from stavewright.figures.figure import Engraver
from stavewright.notation.finding import Finding
from stavewright.site.errors import CannotRunError
from stavewright.site.pipeline import Options, Rendered, Tools, render_site
from stavewright.site.report import LineOf, found_words, lines_of


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A site, or why there is none."""

    number: int
    """Rises by one with each build."""
    files: Mapping[str, bytes | Path]
    """By path below the site's root."""
    sources: Mapping[str, str]
    """The Markdown file, as findings name it, that each page's path was made from."""
    findings: tuple[Finding, ...]
    line_of: LineOf
    watched: tuple[Path, ...]
    """Folders whose changes call for another build."""
    problem: str | None = None
    """Why the site could not be built at all."""

    @property
    def summary(self) -> str:
        """One line for the terminal."""
        if self.problem is not None:
            return f"Build {self.number}: {self.problem}"
        return f"Build {self.number}: {found_words(self.findings)}"


def take_snapshot(number: int, content: Path, options: Options, engraver: Engraver) -> Snapshot:
    """Build the site; whatever goes wrong becomes the snapshot's problem."""
    try:
        return _of(number, render_site(content, options, Tools(engraver)))
    except (CannotRunError, OSError) as error:
        problem = str(error)
    except Exception as error:  # The preview outlives even our own mistakes.
        if os.environ.get("STAVEWRIGHT_TRACE"):
            traceback.print_exc()
        place = "".join(f", while {note}" for note in getattr(error, "__notes__", []))
        problem = f"a fault in Stavewright itself{place}: {type(error).__name__}: {error}"
    return Snapshot(number, {}, {}, (), lines_of({}), (content,), problem)


def _of(number: int, site: Rendered) -> Snapshot:
    return Snapshot(
        number=number,
        files={file.path: file.data for file in site.files},
        sources={page.output: page.file for page in site.pages},
        findings=site.findings,
        line_of=lines_of(site.texts),
        watched=site.watched,
    )
