"""Articles whose file was renamed: where a page that is gone stands now."""

from collections.abc import Mapping

from stavewright.preview.snapshot import Snapshot
from stavewright.site.live import Refreshed

_FEWEST_LINES = 3
"""Texts shorter than this may be alike by chance."""
_MOST_KEPT = 50

_Texts = Mapping[str, tuple[str, ...]]


def moved_pages(before: Snapshot, seen: Refreshed, texts: _Texts) -> Mapping[str, str]:
    """From the address of a page that is gone to that of the one with the same text."""
    if before.seen is None:
        return before.moved
    gone = before.seen.sources.keys() - seen.sources.keys()
    if not gone and not before.moved:
        return before.moved
    found = dict(before.moved)
    for page in gone:
        lines = before.texts.get(before.seen.sources[page], ())
        now = _page_of(lines, seen, texts)
        if now is not None:
            found[_address(page)] = _address(now)
    there = {_address(page) for page in seen.sources}
    kept = [pair for pair in found.items() if pair[0] not in there and pair[1] in there]
    return dict(kept[-_MOST_KEPT:])


def _page_of(lines: tuple[str, ...], seen: Refreshed, texts: _Texts) -> str | None:
    if len(lines) < _FEWEST_LINES:
        return None
    pages = (page for page, file in seen.sources.items() if texts.get(file) == lines)
    return next(pages, None)


def _address(page: str) -> str:
    return f"/{page.removesuffix('index.html')}"
