"""Music blocks in a finished page: where they stand, and how one with errors is shown.

A theme sets figures as it likes; what counts is an element `figure` with the anchor that it was
given. A theme whose figures are something else keeps its own way of showing errors.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from markupsafe import Markup, escape

from stavewright.notation.finding import Finding, Severity
from stavewright.site.report import counted, whole_marked_line

_OPENING = re.compile(r'<figure\b(?=[^>]*\bid="figure:(?P<number>\d+)")[^>]*>')
_LINE = re.compile(r'\bdata-line="(\d+)"')
_CLOSING = "</figure>"
_FENCE = re.compile(r"[\s>]*(?P<fence>`{3,}|~{3,})")
_MOST_LINES = 2000
"""A fence that is never closed goes on to the end; no author waits to see all of it."""

Lines = Callable[[int], str | None]
"""A line of the author's file, from 1; None where it ends."""


@dataclass(frozen=True, slots=True)
class PlacedFigure:
    """A figure in a page."""

    number: int
    """From 1."""
    line: int
    """Where its block opens in the author's file."""
    start: int
    end: int
    """The page's text `[start:end]` is the whole element."""
    inside: int
    """Where its opening tag ends."""


@dataclass(frozen=True, slots=True)
class WrittenBlock:
    """A block as it stands in the author's file."""

    first: int
    """The line of its opening fence."""
    lines: tuple[str, ...]
    """All of them, with both fences."""

    @property
    def last(self) -> int:
        """The line of its closing fence."""
        return self.first + len(self.lines) - 1

    @property
    def text(self) -> str:
        """The block, to be compared with others."""
        return "\n".join(line.strip() for line in self.lines)


def placed_figures(html: str) -> Iterator[PlacedFigure]:
    """The figures of a page that says where its elements come from."""
    place = 0
    while (found := _OPENING.search(html, place)) is not None:
        place = found.end()
        line = _LINE.search(found[0])
        end = html.find(_CLOSING, place)
        if line is None or end < 0:
            continue
        stop = end + len(_CLOSING)
        yield PlacedFigure(int(found["number"]), int(line[1]), found.start(), stop, place)


def written_block(first: int, lines: Lines) -> WrittenBlock:
    """The block whose fence opens on a line."""
    opening = lines(first) or ""
    match = _FENCE.match(opening) or re.search(r"(?P<fence>`{3,}|~{3,})", opening)
    fence = match["fence"] if match else "```"
    found = [opening]
    for number in range(first + 1, first + _MOST_LINES):
        line = lines(number)
        if line is None:
            break
        found.append(line)
        bare = line.strip(" \t>")
        if bare.startswith(fence) and not bare.strip(fence[0]):
            break
    return WrittenBlock(first, tuple(found))


_BROKEN = Markup(
    '<figure class="music stavewright-broken" id="figure:{number}" data-line="{line}">'
    '<div class="stavewright-source" role="group" aria-label="{words}">'
    "<p>{words}.</p>"
    '<div class="stavewright-code" tabindex="0" role="region"'
    ' aria-label="The block as it is written">'
    "{rows}</div></div>{before}</figure>"
)
_WAS = Markup(
    '<div class="stavewright-was"><p>As it was before:</p><div inert>{figure}</div></div>'
)


def broken_figure(
    number: int, block: WrittenBlock, findings: Sequence[Finding], before: str | None
) -> Markup:
    """A block that cannot be drawn: its lines with what is wrong under them, and how it was."""
    errors = sum(finding.severity is Severity.ERROR for finding in findings)
    rows = Markup().join(
        _row(block.first + index, line, findings) for index, line in enumerate(block.lines)
    )
    return _BROKEN.format(
        number=number,
        line=block.first,
        words=f"Figure {number} is not drawn: {counted(errors, 'error')} in its block",
        rows=rows,
        before=_WAS.format(figure=Markup(before)) if before else "",
    )


_ROW = Markup(
    '<div class="row{fault}"><span class="number">{number}</span><pre>{text}</pre></div>{said}'
)
_SAID = Markup(
    '<pre class="marker" aria-hidden="true">{marker}</pre><div class="said">{words}</div>'
)


def _row(number: int, line: str, findings: Sequence[Finding]) -> Markup:
    here = [finding for finding in findings if finding.span.line == number]
    shown, _ = whole_marked_line(line, 1, 1)
    text = _with_marks(line, here) if here else escape(shown)
    said = Markup().join(_said(line, finding) for finding in here)
    return _ROW.format(fault=" fault" if here else "", number=number, text=text, said=said)


def _with_marks(line: str, findings: Sequence[Finding]) -> Markup:
    """A line with each faulty stretch marked; stretches that overlap become one."""
    stretches: list[tuple[int, int]] = []
    for span in sorted(finding.span for finding in findings):
        start, stop = span.column - 1, max(span.column, span.end_column - 1)
        if stretches and start <= stretches[-1][1]:
            stretches[-1] = (stretches[-1][0], max(stop, stretches[-1][1]))
        else:
            stretches.append((start, stop))
    parts, place = [], 0
    for start, stop in stretches:
        parts += [escape(_shown(line[place:start])), _MARK.format(_shown(line[start:stop]) or " ")]
        place = stop
    return Markup().join([*parts, escape(_shown(line[place:]))])


_MARK = Markup("<mark>{}</mark>")


def _shown(text: str) -> str:
    # The end is kept: it parts what is marked from what is not.
    return whole_marked_line(f"{text}|", 1, 1)[0][:-1]


def _said(line: str, finding: Finding) -> Markup:
    _, marker = whole_marked_line(line, finding.span.column, finding.span.end_column)
    return _SAID.format(marker=marker, words=finding_words(finding))


_WORDS = Markup('<p><strong class="{severity}">{name}</strong> {message}</p>')
_TRY = Markup("<p>Try: <code>{}</code></p>")
_WHY = Markup('<p class="why">{}</p>')


def finding_words(finding: Finding) -> Markup:
    """What a finding says, in paragraphs."""
    severity = finding.severity.value
    words = _WORDS.format(severity=severity, name=severity.capitalize(), message=finding.message)
    if finding.suggestion:
        words += _TRY.format(finding.suggestion)
    if finding.reason:
        words += _WHY.format(finding.reason)
    return words
