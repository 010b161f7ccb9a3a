"""Cuts a block into its lines `word: value`.

A line that begins with a space continues the line above; `//` at a line's start is a comment, and
in timed lines also after a space. The value of a line keeps the place of each of its characters.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from stavewright.notation.labels import label_end
from stavewright.notation.passage import PLAIN_SIGNS, Passage, Stretch, plain
from stavewright.notation.report import Report
from stavewright.notation.source import SourceLine, SourceText, Span
from stavewright.notation.vocabulary import FIELD_NAMES, LINE_NAMES

_OPENING = re.compile(r"(?P<word>[^\W\d_][\w-]*)(?P<argument>\([^()]*\))?[ \t]*:")

_MUSIC = re.compile(r"\d+/\d+\s|[A-G][#b]*\d")
_FREE_TEXT = frozenset({"title", "caption", "source", "credit", "rights", "accept"})
"""Fields whose text may hold a word and a colon anywhere."""
_SIGNATURE = re.compile(r"(?P<word>key|time)[ -]signature\s*[:=]?\s*(?P<value>\S.*)")


@dataclass(frozen=True, slots=True)
class Line:
    """One written line of a block, with its continuations."""

    word: str
    word_span: Span
    argument: Passage | None
    """What stands in parentheses after the word, as in `words(alto 2):`."""
    value: Passage
    """What stands after the colon, without the spaces around it."""


@dataclass(slots=True)
class _Opened:
    """A line that may still be continued."""

    source: SourceLine
    match: re.Match[str]
    pieces: list[Stretch]


def read_lines(source: SourceText, fields: frozenset[str], report: Report) -> list[Line]:
    """Cut a block into lines; a line that opens with no field may hold comments after a space."""
    opened: list[_Opened] = []
    for line in source.lines:
        text = line.text.rstrip("\r\n\v\f ")
        words = text.strip()
        if not words or words.startswith("//"):
            continue
        if text[0] in " \t\u00a0":
            _indented(source.file, line, text, opened, report)
        elif match := _OPENING.match(text):
            opened.append(_Opened(line, match, [Stretch(line, match.end(), len(text))]))
        else:
            report.add(line.span(source.file, 0, len(text)), *_wordless(plain(words)))
    return [_close(source.file, one, one.match["word"] not in fields) for one in opened]


def _indented(
    file: str, line: SourceLine, text: str, opened: list[_Opened], report: Report
) -> None:
    """Continue the line above, unless there is none or this plainly opens a line of its own."""
    start = len(text) - len(text.lstrip())
    match = _OPENING.match(text, start)
    is_free = bool(opened) and opened[-1].match["word"] in _FREE_TEXT
    if opened and (match is None or is_free):
        opened[-1].pieces.append(Stretch(line, start, len(text)))
        return
    message = "A line that begins with a space continues the line above"
    message += "; this one opens its own" if opened else ", and there is none"
    report.add(line.span(file, 0, len(text)), message, text[start:])
    if match:
        opened.append(_Opened(line, match, [Stretch(line, match.end(), len(text))]))


def _wordless(words: str) -> tuple[str, str | None]:
    """Say what is missing where a line has no opening word."""
    message = "A line opens with its word and a colon, such as `notes:` or `key:`"
    if words.startswith("#"):
        return "A comment begins with //", f"//{words[1:]}"
    if signature := _SIGNATURE.fullmatch(words):
        return message, f"{signature['word']}: {signature['value']}"
    if _MUSIC.match(words):
        return message, f"notes: {words}"
    word = re.match(r"(?P<word>[a-z][a-z0-9-]*)\s*[:：=]?\s*(?P<value>\S.*)", words)
    known = word and (word["word"] in (FIELD_NAMES | LINE_NAMES) or _MUSIC.match(word["value"]))
    return message, f"{word['word']}: {word['value']}" if word and known else None


def _close(file: str, opened: _Opened, timed: bool) -> Line:
    match, line = opened.match, opened.source
    argument = None
    if match["argument"] is not None:
        start, end = match.span("argument")
        argument = Passage(file, [Stretch(line, start + 1, end - 1)])
    pieces = [_cut_comment(piece) for piece in opened.pieces] if timed else opened.pieces
    return Line(
        match["word"],
        line.span(file, *match.span("word")),
        argument,
        Passage(file, [_trimmed(piece) for piece in pieces]),
    )


def _trimmed(piece: Stretch) -> Stretch:
    text = piece.line.text[piece.start : piece.end]
    start = piece.start + len(text) - len(text.lstrip())
    return Stretch(piece.line, min(start, piece.end), max(start, piece.start + len(text.rstrip())))


def _cut_comment(piece: Stretch) -> Stretch:
    """Leave out a comment, unless its `//` stands inside a label."""
    text = piece.line.text[piece.start : piece.end]
    if "//" not in text:
        return piece
    for at in _outside_labels(text):
        if text.startswith("//", at) and (at == 0 or text[at - 1].isspace()):
            return Stretch(piece.line, piece.start, piece.start + at)
    return piece


def _outside_labels(text: str) -> Iterator[int]:
    """Offsets of slashes that are not inside a label; `text` is as written."""
    at = 0
    while at < len(text):
        if text[at].translate(PLAIN_SIGNS) == '"':
            at = label_end(text, at) or len(text)
        elif text[at] == "/":
            yield at
        at += 1
