"""Looking at a built site the way a browser does."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit
from xml.etree import ElementTree as ET

import html5lib

HTML = "{http://www.w3.org/1999/xhtml}"
_ADDRESSES = ("href", "src", "poster")


@dataclass(frozen=True)
class Page:
    """One HTML file of a site."""

    path: str
    document: ET.Element
    faults: tuple[str, ...]
    """Parse errors of the HTML Living Standard, as html5lib finds them."""

    @property
    def ids(self) -> list[str]:
        return [found for element in self.document.iter() if (found := element.get("id"))]

    @property
    def references(self) -> Iterator[str]:
        """Every address the page names."""
        for element in self.document.iter():
            for name in _ADDRESSES:
                if element.get(name) is not None:
                    yield element.get(name, "")

    def find(self, tag: str, **attributes: str) -> list[ET.Element]:
        """The elements with a tag and attributes (`class_` for `class`)."""
        wanted = {name.rstrip("_"): value for name, value in attributes.items()}
        return [
            element
            for element in self.document.iter(f"{HTML}{tag}")
            if all(element.get(name) == value for name, value in wanted.items())
        ]

    @property
    def text(self) -> str:
        return "".join(self.document.itertext())


def read_page(site: Path, path: str) -> Page:
    """Parse one file of a site."""
    parser = html5lib.HTMLParser()
    document = parser.parse((site / path).read_text("utf-8"))
    faults = tuple(f"{place}: {code} {values}" for place, code, values in parser.errors)
    return Page(path, document, faults)


def read_pages(site: Path) -> list[Page]:
    """Parse every page of a site."""
    paths = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
    return [read_page(site, path) for path in paths]


def broken_references(site: Path, pages: list[Page], root: str = "/") -> Iterator[str]:
    """Every relative address that leads to no file or no anchor; `root` is the site's own path."""
    ids = {page.path: set(page.ids) for page in pages}
    for page in pages:
        base = f"http://site.invalid{root}{page.path.removesuffix('index.html')}"
        for reference in page.references:
            target = urlsplit(urljoin(base, reference))
            if target.hostname != "site.invalid":
                continue
            path = file_of(unquote(target.path).removeprefix(root))
            if not (site / path).is_file():
                yield f"{page.path}: {reference} leads nowhere"
            elif target.fragment and unquote(target.fragment) not in ids.get(path, set()):
                yield f"{page.path}: {reference} has no such anchor"


def file_of(path: str) -> str:
    """The file that a server shows for a path below the root."""
    return f"{path}index.html" if path == "" or path.endswith("/") else path
