"""A music block as templates are given it: its pictures, or what keeps them from being drawn."""

from collections.abc import Iterator, Sequence

from markupsafe import Markup

from stavewright.figures import Drawing, Figure, described
from stavewright.notation import Block
from stavewright.notation.finding import Finding
from stavewright.site.page_figure import (
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
    for index, figure in enumerate(figures, start=1):
        yield _view(figure, f"figure:{number}:{index}")


def _view(figure: Figure, description: str) -> FigureViewView:
    """One view; its two drawings share the description, under an id that no other has."""
    spoken, narrow = figure.spoken, figure.narrow
    wide = described(figure.wide, description, spoken.bars) if spoken.bars else figure.wide
    if narrow is not None and spoken.bars:
        narrow = described(narrow, description)
    return FigureViewView(
        view=figure.view,
        name=VIEW_NAMES.get(figure.view, figure.view),
        wide=_drawing(wide),
        narrow=_drawing(narrow) if narrow else None,
        line=spoken.line,
        bars=spoken.bars,
        notes=spoken.notes,
    )


def _drawing(drawing: Drawing) -> DrawingView:
    # Made by our own figures from the Score, all text in it escaped there.
    return DrawingView(Markup(drawing.markup), drawing.width, drawing.height)
