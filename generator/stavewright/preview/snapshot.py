"""What the preview shows at one moment: one look at the site, or why there is none."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from stavewright.notation.finding import Finding
from stavewright.site.addresses import output_path
from stavewright.site.live import Refreshed
from stavewright.site.report import found_words


@dataclass(frozen=True, slots=True)
class Edited:
    """What the author saved last."""

    build: str
    """The build that brought it."""
    address: str
    """The page it is shown on, from the root of the site: `/answers/minor/`."""
    line: int
    """The first line that differs."""


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A site, or why there is none."""

    run: str
    """Tells this run of the preview from any other."""
    number: int
    """Rises by one with each build; 0 before the first."""
    seen: Refreshed | None
    """None where there is no site."""
    problem: str | None = None
    """Why the site could not be built at all; None while there is one, or none yet."""
    found_at: int = 0
    """The build at which the findings last changed."""
    edited: Edited | None = None
    files: Mapping[str, int] = field(default_factory=dict)
    """Addresses of files that are no pages and changed lately, and the build that brought each."""
    texts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """The lines of each article, by the file's name as findings give it."""

    moved: Mapping[str, str] = field(default_factory=dict)
    """Where pages are now whose file was renamed lately: from address to address."""

    @property
    def build(self) -> str:
        """Names this build among those of all runs."""
        return f"{self.run}-{self.number}"

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All of the site."""
        return self.seen.findings if self.seen else ()

    @property
    def summary(self) -> str:
        """One line for the terminal."""
        words = self.problem if self.problem is not None else found_words(self.findings)
        return f"Build {self.number}: {words}"

    def line_of(self, file: str, line: int) -> str | None:
        """A line of a file of the author's, as it was at this build."""
        if file in self.texts:
            lines = self.texts[file]
            return lines[line - 1] if 0 < line <= len(lines) else None
        return self.seen.line_of(file, line) if self.seen else None

    def source(self, path: str) -> str | None:
        """The Markdown file that the page at a path below the root was made from."""
        return self.seen.sources.get(path) if self.seen else None

    def own_findings(self, address: str) -> list[Finding]:
        """Those of the file that the page at an address was made from."""
        file = self.source(output_path(address.lstrip("/")))
        return [finding for finding in self.findings if finding.span.file == file]

    def address_of(self, file: str) -> str | None:
        """The address of the page that was made from a file, from the root of the site."""
        for path, source in self.seen.sources.items() if self.seen else ():
            if source == file:
                return f"/{path.removesuffix('index.html')}"
        return None

    def key(self, address: str) -> str:
        """Changes when what is shown at an address, `/answers/minor/`, may look different."""
        own = self.seen.pages.get(output_path(address.lstrip("/"))) if self.seen else None
        return f"{own}.{self.run}-{self.found_at}" if own else self.build

    def news(self, address: str) -> dict[str, object]:
        """What a page at an address needs to know of this build, for JSON."""
        edited = self.edited
        return {
            "build": self.build,
            "number": self.number,
            "page": self.key(address),
            "problem": self.problem,
            "edited": edited
            and {"build": edited.build, "address": edited.address, "line": edited.line},
            "files": sorted(self.files.items()),
            "moved": self.moved.get(address),
        }
