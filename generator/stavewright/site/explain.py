"""Why a build made pages again: what each was made of, remembered from the build before."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Protocol

from stavewright.site.plan import PagePlan, Part, Parts
from stavewright.site.report import counted
from stavewright.site.store import Codec, StaleError, Store, digest

_KIND: Final = "pages"
_CODEC: Codec[dict[str, bytes]] = Codec(dict[str, bytes])
_NEW: Final = "it is new"
_LOST: Final = "its file in the output folder was changed or taken away"
_FEW: Final = 8
"""As many pages are named one by one; more with one reason are counted."""


@dataclass(frozen=True, slots=True)
class PageChange:
    """A page that was made anew."""

    path: str
    """Below the output folder."""
    source: str | None
    """Its Markdown file as findings name it; None for the site's own pages."""
    reasons: tuple[str, ...]
    """In plain words."""


class History:
    """What each page of an output folder was made of when it was last written."""

    def __init__(self, store: Store, output: Path) -> None:
        self._store = store
        self._key = digest(str(output.resolve()))

    def changes(self, pages: Iterable[PagePlan], anew: Iterable[str]) -> tuple[PageChange, ...]:
        """Why the pages at the paths `anew` were made again, in the order of `pages`."""
        wanted = set(anew)
        if not wanted:
            return ()
        earlier = self._read()
        return tuple(
            PageChange(page.path, page.source, _reasons(page.parts, earlier.get(page.path)))
            for page in pages
            if page.path in wanted
        )

    def note(self, pages: Iterable[PagePlan]) -> None:
        """Remember what the pages were made of."""
        parts = {page.path: page.parts.data for page in pages}
        self._store.put(_KIND, self._key, _CODEC.encode(parts))

    def _read(self) -> Mapping[str, bytes]:
        data = self._store.get(_KIND, self._key)
        try:
            return {} if data is None else _CODEC.decode(data)
        except StaleError:
            return {}


class Explained(Protocol):
    """A build, as far as explaining it goes."""

    @property
    def changes(self) -> Sequence[PageChange]:
        """The pages that were made anew."""

    @property
    def kept(self) -> int:
        """How many pages were not."""

    @property
    def articles(self) -> int:
        """How many articles were made anew."""


def explained(report: Explained) -> Iterator[str]:
    """What a build did, in lines of plain words."""
    changes = report.changes
    by_reason: dict[tuple[str, ...], list[PageChange]] = {}
    for change in changes:
        by_reason.setdefault(change.reasons, []).append(change)
    for reasons, alike in by_reason.items():
        words = "; ".join(reasons)
        if len(alike) > _FEW:
            yield f"{counted(len(alike), 'page')}: {words}"
        else:
            yield from (f"{change.source or change.path}: {words}" for change in alike)
    yield (
        f"Made {counted(len(changes), 'page')} and kept {report.kept}; "
        f"read and drew {counted(report.articles, 'article')}, "
        "and took any others from earlier builds."
    )


def _reasons(now: Parts, before: bytes | None) -> tuple[str, ...]:
    if before is None or len(before) != len(now.data):
        return (_NEW,)
    differing: tuple[Part, ...] = now.differing(Parts(before))
    return tuple(part.value for part in differing) or (_LOST,)
