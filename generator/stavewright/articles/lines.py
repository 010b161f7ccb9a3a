"""The lines of an article's file, and the spans and line ends that follow from them."""

import re
from dataclasses import dataclass

from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span

_LINE_END = re.compile(r"\r\n?")

# What no page may hold (HTML Living Standard, "Preprocessing the input stream": surrogates,
# noncharacters, and controls other than white space) and no text editor shows.
_UNPRINTABLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef"
    + "".join(chr(plane << 16 | low) for plane in range(17) for low in (0xFFFE, 0xFFFF))
    + "]"
)
_REPLACEMENT = "\ufffd"
BYTE_ORDER_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class Lines:
    """A file's text cut into lines, as editors count them."""

    file: str
    texts: tuple[str, ...]
    """Without their line ends; at least one."""

    @classmethod
    def of(cls, text: str, file: str) -> "Lines":
        """Lines end with LF, CRLF or CR; a byte order mark is no part of the first."""
        plain = _LINE_END.sub("\n", text.removeprefix(BYTE_ORDER_MARK))
        return cls(file, tuple(plain.split("\n")))

    def span(self, index: int, start: int, end: int) -> Span:
        """The stretch `[start:end]` (offsets from 0) of the line with this index (from 0)."""
        return Span(self.file, index + 1, start + 1, max(start, end) + 1)

    def whole(self, index: int) -> Span:
        """A whole line without the white space at its ends."""
        text = self.texts[index]
        start = len(text) - len(text.lstrip())
        return self.span(index, start if text.strip() else 0, len(text.rstrip()))

    def stretch(self, first: int, offset: int, end: int) -> Span:
        """The span of `[offset:end]` of the text that begins at line `first`, on its first line.

        Offsets count a line end as one character.
        """
        # Goes on line by line, and never further than needed: a list of links asks this of each.
        row, last, offset = first, len(self.texts) - 1, max(offset, 0)
        while row < last and offset > len(self.texts[row]):
            gone = len(self.texts[row]) + 1
            row, offset, end = row + 1, offset - gone, end - gone
        width = len(self.texts[row])
        return self.span(row, min(offset, width), min(end, width))


def printable(lines: Lines) -> tuple[Lines, tuple[Finding, ...]]:
    """The lines with each character that no page may hold replaced, and what to say of them."""
    # Python's own answer is far quicker, but counts tabs and the like as unprintable too.
    doubtful = [text for text in lines.texts if not text.isprintable()]
    if not any(map(_UNPRINTABLE.search, doubtful)):
        return lines, ()
    findings: list[Finding] = []
    texts: list[str] = []
    for index, text in enumerate(lines.texts):
        if match := _UNPRINTABLE.search(text):
            findings.append(_unprintable(lines.span(index, match.start(), match.end()), match[0]))
        texts.append(_UNPRINTABLE.sub(_REPLACEMENT, text))
    return Lines(lines.file, tuple(texts)), tuple(findings)


def _unprintable(span: Span, character: str) -> Finding:
    return Finding(
        "syntax",
        Severity.ERROR,
        span,
        f"An invisible control character (U+{ord(character):04X}) stands here",
        suggestion="",
        reason="No page can show it. It often comes along when text is copied from elsewhere.",
    )
