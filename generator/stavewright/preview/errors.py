"""Errors where they belong: each block that cannot be drawn is shown as it is written."""

from collections.abc import Sequence
from dataclasses import dataclass

from stavewright.figures import glyph_sheet, glyphs_in
from stavewright.notation.finding import Finding, Severity
from stavewright.preview.blocks import (
    PlacedFigure,
    WrittenBlock,
    broken_figure,
    placed_figures,
    written_block,
)
from stavewright.preview.remembered import Remembered, SeenBlock, as_it_was
from stavewright.preview.snapshot import Snapshot

_CLOSE = len("</figure>")


def with_errors_in_place(html: str, path: str, snapshot: Snapshot, memory: Remembered) -> str:
    """The page at a path below the root, each block with errors shown as it is written."""
    page = _BlocksOfPage.of(html, path, snapshot)
    if page is None or not any(page.broken):
        return html
    good = memory.recall(page.file, page.seen)
    parts, place = [], 0
    for index, figure in enumerate(page.figures):
        if not page.broken[index]:
            continue
        was = good[index]
        before = None if was is None else _as_it_was(was, figure.number, html)
        parts.append(html[place : figure.start])
        parts.append(broken_figure(figure.number, page.blocks[index], page.inside[index], before))
        place = figure.end
    return "".join([*parts, html[place:]])


def note_figures(html: str, path: str, snapshot: Snapshot, memory: Remembered) -> None:
    """Let `memory` take note of the figures of the page at a path below the root."""
    page = _BlocksOfPage.of(html, path, snapshot)
    if page is not None:
        memory.see(page.file, page.seen)


@dataclass(frozen=True, slots=True)
class _BlocksOfPage:
    """The music blocks of a page that was made from an article."""

    file: str
    figures: Sequence[PlacedFigure]
    blocks: Sequence[WrittenBlock]
    inside: Sequence[Sequence[Finding]]
    """What was found in each block."""
    broken: Sequence[bool]
    """Whether it has errors, and is not drawn."""
    seen: Sequence[SeenBlock]

    @classmethod
    def of(cls, html: str, path: str, snapshot: Snapshot) -> "_BlocksOfPage | None":
        file = snapshot.source(path)
        if file is None:
            return None
        figures = list(placed_figures(html))
        blocks = [written_block(f.line, lambda n: snapshot.line_of(file, n)) for f in figures]
        own = [finding for finding in snapshot.findings if finding.span.file == file]
        inside = [[f for f in own if each.first <= f.span.line <= each.last] for each in blocks]
        broken = [any(f.severity is Severity.ERROR for f in found) for found in inside]
        seen = [
            SeenBlock(block.text, None if is_broken else html[figure.inside : figure.end - _CLOSE])
            for figure, block, is_broken in zip(figures, blocks, broken, strict=True)
        ]
        return cls(file, figures, blocks, inside, broken, seen)


def _as_it_was(figure: str, number: int, html: str) -> str:
    """An earlier figure, with the glyphs that the page does not have for others."""
    return glyph_sheet(set(glyphs_in(figure)) - set(glyphs_in(html))) + as_it_was(figure, number)
