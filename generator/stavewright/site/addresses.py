"""Where each page and file of the content lives in the site.

An address is a path below the site's root, without a leading slash: `answers/g-sharp/` for a page,
`pictures/bell.png` for a file, and the empty text for the home page. It never has a segment `..`.
An address is a promise, since it is printed in places that nobody can edit any more: it follows
from the file's path and from `address:` alone, never from titles, dates or other pages.
"""

import posixpath
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from urllib.parse import quote

from stavewright.articles.slug import slugify
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span

HOME = ""
GLOSSARY = "glossary/"
NOT_FOUND = "404.html"
FEED = "feed.xml"
SITEMAP = "sitemap.xml"
ASSETS = "assets/"

RESERVED = {
    NOT_FOUND: "the page for addresses that are not in the site",
    FEED: "the feed",
    SITEMAP: "the map of the site",
}
"""Addresses that every site has of its own."""

_INDEX = "index"
_PLAIN = re.compile(r"[A-Za-z0-9_.~/-]*")
"""What quoting leaves as it is (RFC 3986, 2.3); most addresses are nothing else."""
_LONGEST = 200
"""Bytes of a segment; no common file system takes more than 255, our own ending included."""


@dataclass(frozen=True, slots=True)
class Place:
    """One thing that wants an address."""

    path: str
    """Of the file, relative to the content folder, with `/`."""
    address: str
    span: Span
    """What to point at when the address is taken."""


@lru_cache(maxsize=1 << 16)
def page_address(path: str, custom: str | None = None) -> str:
    """The address of the page that a Markdown file makes.

    `answers/g-sharp.md` gives `answers/g-sharp/`; an `index.md` gives its folder. Letters are
    lowered, and a gap or a sign becomes a hyphen (`slugify`). A custom address wins.
    """
    if custom is not None:
        plain = custom.strip().lstrip("/")
        return plain if plain.endswith(("/", ".html")) or not plain else f"{plain}/"
    parts = [_slug(part) for part in posixpath.splitext(path)[0].split("/")]
    if parts[-1] == _INDEX:
        parts.pop()
    return "".join(f"{part}/" for part in parts)


def address_fault(address: str) -> str | None:
    """What is wrong with a custom address, in words; None when it can be used."""
    if re.match(r"[a-zA-Z][a-zA-Z0-9+.-]*:|//", address):
        return "an address is a path below the site's root, not a whole web address"
    if "\\" in address or any(character in address for character in "?#%"):
        return "an address is a plain path: no backslash, `?`, `#` or `%`"
    segments = address.strip().strip("/").split("/")
    if any(segment in {"", ".", ".."} for segment in segments):
        return "an address has no empty, `.` or `..` segment"
    if any(ord(character) < 33 or ord(character) == 127 for character in address.strip()):
        return "an address has no spaces or control characters"
    if any(len(segment.encode()) > _LONGEST for segment in segments):
        return f"no segment of an address is longer than {_LONGEST} bytes, and most letters are one"
    if f"{segments[0]}/" == ASSETS:
        return f"`{ASSETS}` is where the theme's files live"
    return None


def output_path(address: str) -> str:
    """The file, relative to the output folder, that a server shows for an address."""
    return f"{address}index.html" if address == HOME or address.endswith("/") else address


def whole_address(site: str, address: str) -> str:
    """The address on the web: the site's own (`https://example.org/music`) and the path."""
    return f"{site.rstrip('/')}/{quote(address)}"


def relative_href(origin: str, target: str, anchor: str = "") -> str:
    """How the page at `origin` links to `target`, so that it works under any folder of any host."""
    fragment = f"#{_quoted(anchor)}" if anchor else ""
    if origin == target:
        return fragment or ("./" if _is_folder(target) else _quoted(_last(target)))
    here = origin.split("/")[:-1]
    there = target.split("/")
    shared = 0
    while shared < min(len(here), len(there) - 1) and here[shared] == there[shared]:
        shared += 1
    steps = [".."] * (len(here) - shared) + there[shared:]
    return (_quoted("/".join(steps)) or "./") + fragment


def collisions(places: Iterable[Place], *, own_home: bool = False) -> list[Finding]:
    """A finding at every place but the first, in the order given, that asks for one address.

    With `own_home` the site makes its home page by itself, which reserves that address too.

    Addresses that differ only in capitals collide: many disks and some servers see no difference.
    """
    taken = {file.casefold(): use for file, use in RESERVED.items()}
    if own_home:
        taken[output_path(HOME)] = "the home page"
    folders: dict[str, str] = {}
    findings = []
    for place in places:
        file = output_path(place.address).casefold()
        above = _folders_of(file)
        holder = next((taken[name] for name in [file, *above] if name in taken), folders.get(file))
        if holder is not None:
            findings.append(_collision(place, holder))
            continue
        taken[file] = f"`{place.path}`"
        folders.update(dict.fromkeys(above, f"`{place.path}`"))
    return findings


def _folders_of(path: str) -> list[str]:
    """The folders that a path lies in, the innermost first."""
    ends = [index for index, character in enumerate(path) if character == "/"]
    return [path[:end] for end in reversed(ends)]


def unusable(place: Place, custom: str) -> Finding | None:
    """The finding for a custom address that cannot be used."""
    fault = address_fault(custom)
    if fault is None:
        return None
    return Finding(
        "address",
        Severity.ERROR,
        place.span,
        f"`{custom}` cannot be this page's address: {fault}",
        suggestion=page_address(place.path),
        reason="Every page needs one address of its own that servers and printed links agree on.",
    )


def _collision(place: Place, holder: str) -> Finding:
    wanted = place.address or "the home page"
    return Finding(
        "address",
        Severity.ERROR,
        place.span,
        f"`{place.path}` wants the address `{wanted}`, which {holder} already has",
        reason="Two pages at one address would hide each other; give one of them an `address:`.",
    )


def _quoted(path: str) -> str:
    return path if _PLAIN.fullmatch(path) else quote(path)


def _slug(part: str) -> str:
    return slugify(part) or "page"


def _is_folder(address: str) -> bool:
    return address == HOME or address.endswith("/")


def _last(address: str) -> str:
    return address.rsplit("/", 1)[-1]
