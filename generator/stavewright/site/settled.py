"""A site that is built already: nothing that it is made from has changed, and it stands whole.

A build ends by noting what it was given, down to the bytes of every text, and what came of it. The
next one that is given the same, and finds the site just as that one left it, is done: it need not
look up a single article, nor plan a page.
"""

from dataclasses import dataclass
from typing import Final

from stavewright.notation.finding import Finding
from stavewright.site.making.digests import digest_files
from stavewright.site.making.made import key_of
from stavewright.site.report import Checked
from stavewright.site.stages.values import SiteRead, Tools, Written
from stavewright.site.store import Codec, StaleError, digest
from stavewright.site.write import OutputFile

_KIND: Final = "settled"


@dataclass(frozen=True, slots=True)
class Settled:
    """What came of a build."""

    given: bytes
    """A digest of all that the site was made from."""
    site: bytes
    """A digest of the files as they were left."""
    findings: tuple[Finding, ...]
    checked: Checked
    pages: int
    """How many articles have one."""
    planned: int
    """How many pages there are in all."""
    drafts: int


_CODEC: Final = Codec(Settled)


class Settling:
    """What a build is given, taken before anything is made of it."""

    def __init__(self, site: SiteRead, tools: Tools) -> None:
        self._site = site
        self._store = tools.store
        self._around = _around(site)
        output = site.request.output
        self._name = None if output is None else digest(str(output.resolve()))

    def last(self) -> Settled | None:
        """What came of the last build, if this one could only give the same."""
        standing = self._site.standing
        if standing is None or not standing.is_whole or self._name is None:
            return None
        if self._store.notes_uses:
            return None
        data = self._store.get(_KIND, self._name)
        try:
            last = None if data is None else _CODEC.decode(data)
        except StaleError:
            return None
        if last is None or last.site != standing.site:
            return None
        return last if last.given == self._given(_keys(self._site)) else None

    def note(self, site: Written) -> None:
        """Note what came of the build."""
        checked = site.composed.checked
        placed = checked.placed
        made = placed.made
        # What broke down is tried again, and so is what could not be read.
        whole = made.shelf.all_lasting and len(made.articles) == len(self._site.listing.articles)
        given = self._given([article.key for article in made.articles] if whole else None)
        if self._name is None or given is None or site.report is None:
            return
        noted = Settled(
            given=given,
            site=site.report.site,
            findings=checked.findings,
            checked=checked.checked,
            pages=len(placed.map.pages),
            planned=len(site.composed.pages),
            drafts=len(placed.drafts),
        )
        self._store.put(_KIND, self._name, _CODEC.encode(noted))

    def _given(self, keys: list[bytes] | None) -> bytes | None:
        if keys is None or self._around is None:
            return None
        return digest(self._around, *sorted(keys))


def _keys(site: SiteRead) -> list[bytes] | None:
    """The keys of the articles; None where a text cannot be read."""
    manner = site.manner.key
    keys = []
    for file in site.listing.articles:
        text = site.texts.of(file)
        if isinstance(text, Finding):
            return None
        keys.append(key_of(manner, text))
    return keys


def _around(site: SiteRead) -> bytes | None:
    """A digest of all that a site is made from but its articles; None where it cannot be read."""
    files = site.listing.files
    try:
        others = [OutputFile(file.path, file.file).key for file in files]
        assets = digest_files(site.theme.assets)
    except (OSError, ValueError):
        return None
    names = [(file.path, file.shown) for file in files]
    told = repr((site.request.options, site.settings, site.findings, names))
    return digest(site.manner.key, site.templates, assets, told, *others)
