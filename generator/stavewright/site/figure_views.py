"""A music block as templates are given it: its pictures, or what keeps them from being drawn."""

from collections.abc import Iterator, Sequence

from markupsafe import Markup

from stavewright.figures import Drawing, Figure, distinct
from stavewright.notation import Block
from stavewright.notation.finding import Finding
from stavewright.site.page import (
    DownloadView,
    DrawingView,
    FigureView,
    FigureViewView,
    FindingView,
    SoundView,
)

VIEW_NAMES = {
    "staff": "staff",
    "keyboard": "keyboard",
    "grid": "rhythm grid",
    "circle": "circle of fifths",
    "clock": "clock of pitch classes",
    "fretboard": "fretboard",
    "names": "names of what sounds",
    "ruler": "tuning ruler",
    "table": "table of chords or of a scale",
}

_DRAWINGS_OF_A_BLOCK = 100
"""More than `show:` can name, each wide and narrow."""


def figure_view(
    block: Block,
    number: int,
    figures: Sequence[Figure],
    errors: Sequence[Finding],
    sound: SoundView | None = None,
    downloads: Sequence[DownloadView] = (),
) -> FigureView:
    """The view of the block that is number `number` in its page, from 1."""
    score = block.score
    return FigureView(
        number=number,
        # A heading's anchor has no colon, so that "Figure 2" as a heading cannot take this one.
        anchor=f"figure:{number}",
        title=score.title,
        caption=score.caption,
        views=() if errors else tuple(_views(figures, number)),
        notes=tuple((accept.rule, accept.reason) for accept in score.accepts),
        credits=score.credits,
        sources=score.sources,
        rights=score.rights,
        findings=tuple(finding_view(finding) for finding in errors),
        text=block.source.text,
        sound=sound,
        downloads=tuple(downloads),
    )


def finding_view(finding: Finding) -> FindingView:
    """The view of a finding."""
    return FindingView(
        rule=finding.rule,
        severity=finding.severity.value,
        place=str(finding.span),
        message=finding.message,
        suggestion=finding.suggestion,
        reason=finding.reason,
    )


def _views(figures: Sequence[Figure], number: int) -> Iterator[FigureViewView]:
    """Views with ids of their own: a page may show one drawing in several blocks, or in one."""
    for index, figure in enumerate(figures):
        yield _view(figure, _DRAWINGS_OF_A_BLOCK * number + 2 * index)


def _view(figure: Figure, number: int) -> FigureViewView:
    narrow = figure.narrow
    return FigureViewView(
        view=figure.view,
        name=VIEW_NAMES.get(figure.view, figure.view),
        wide=_drawing(distinct(figure.wide, number)),
        narrow=_drawing(distinct(narrow, number + 1)) if narrow else None,
        line=figure.spoken.line,
        bars=figure.spoken.bars,
        notes=figure.spoken.notes,
    )


def _drawing(drawing: Drawing) -> DrawingView:
    # Made by our own figures from the Score, all text in it escaped there.
    return DrawingView(Markup(drawing.markup), drawing.width, drawing.height)
