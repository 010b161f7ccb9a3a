"""Front matter: the YAML between the `---` lines that open an article, validated field by field.

All findings have the rule `front-matter` and point at the word or the value they mean.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from stavewright.articles.article import FrontMatter, Kind, Video
from stavewright.articles.lines import Lines
from stavewright.articles.video import nearest_timecode, parse_timecode
from stavewright.articles.yaml_fields import FieldReader
from stavewright.articles.yaml_nodes import (
    YamlMap,
    YamlNode,
    YamlReadError,
    YamlText,
    quoted,
)
from stavewright.articles.yaml_read import read_yaml
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import SourceLine, SourceText, Span

FENCE = "---"

_LOOKS_LIKE_A_FIELD = re.compile(r"[\w-]+\s*:(\s|$)")
_OUR_FIELD = re.compile(r"(title|summary|date|draft|kind)\s*:\s", re.IGNORECASE)
_LIKE_A_FENCE = re.compile(r"[-\u2010-\u2015]{1,6}")
"""Editors with smart punctuation make other dashes of `---`."""
_WEB_ADDRESS = re.compile(r"https://[^\s/?#<>\"]+[^\s<>\"]*")
_WITHOUT_SCHEME = re.compile(r"(?:https?:)?/*(?P<rest>[\w-]+(?:\.[\w-]+)+(?:[/?#][^\s<>\"]*)?)")
_WHITE_SPACE = re.compile(r"\s+")
_LOWEST, _HIGHEST = -999_999, 999_999


@dataclass(frozen=True, slots=True)
class FrontMatterRead:
    """Front matter as read, and where the rest of the article begins."""

    front: FrontMatter
    present: bool
    """Whether the file has any."""
    body: int = 0
    """Index of the first line after it."""
    spans: tuple[tuple[str, Span], ...] = ()
    """The value of each field that was written, `video.length` and the like included."""
    findings: tuple[Finding, ...] = ()


def body_start(lines: Lines) -> int:
    """Index of the first line that is not front matter; 0 where there is none.

    A `---` that is never closed opens front matter only if a `word:` follows it; otherwise it is
    the rule between two sections that Markdown makes of it. Such front matter ends at the first
    empty line.
    """
    texts = lines.texts
    if texts[0].rstrip() != FENCE:
        return 0
    for index, text in enumerate(texts[1:], start=1):
        if text.rstrip() == FENCE:
            return index + 1
    if len(texts) < 2 or not _LOOKS_LIKE_A_FIELD.match(texts[1]):
        return 0
    return next((i for i, text in enumerate(texts[1:], start=1) if not text.strip()), len(texts))


def read_front_matter(lines: Lines, first_heading: str) -> FrontMatterRead:
    """Read and validate front matter; `first_heading` stands in where there is no title."""
    body = body_start(lines)
    if body == 0:
        found = tuple(_almost(lines))
        return FrontMatterRead(FrontMatter(first_heading), present=False, findings=found)
    findings: list[Finding] = []
    closed = lines.texts[body - 1].rstrip() == FENCE
    if not closed:
        message = "The front matter is not closed; a line `---` of its own ends it"
        findings.append(_error(lines.whole(0), message))
    try:
        mapping = read_yaml(_source(lines, body - 1 if closed else body))
    except YamlReadError as error:
        findings.append(error.finding)
        return FrontMatterRead(FrontMatter(first_heading), True, body, (), tuple(findings))
    front, found = _front_matter(mapping, first_heading, lines.whole(0))
    findings += found
    return FrontMatterRead(front, True, body, tuple(_spans(mapping)), tuple(findings))


def _almost(lines: Lines) -> Iterator[Finding]:
    """Fields at the head of a file that no `---` opens would be printed as a paragraph."""
    rows = [index for index, text in enumerate(lines.texts) if text.strip()][:2]
    if not rows:
        return
    first = rows[0]
    opens = bool(_LIKE_A_FENCE.fullmatch(lines.texts[first].strip()))
    if _OUR_FIELD.match(lines.texts[rows[-1] if opens else first].strip()):
        yield _error(
            lines.whole(first),
            "Front matter opens with a line `---` of its own, the first of the file",
            suggestion=FENCE if opens and first == 0 else None,
            reason="Without it these fields are printed as part of the text.",
        )


def _source(lines: Lines, end: int) -> SourceText:
    texts = lines.texts[1:end] or ("",)
    rows = tuple(SourceLine(text, number, 1) for number, text in enumerate(texts, start=2))
    return SourceText(lines.file, rows, lines.whole(0))


def _spans(mapping: YamlMap, prefix: str = "") -> Iterator[tuple[str, Span]]:
    for name, value in mapping.entries:
        yield prefix + name.text, value.span
        if isinstance(value, YamlMap):
            yield from _spans(value, f"{prefix}{name.text}.")


def _front_matter(
    mapping: YamlMap, first_heading: str, fence: Span
) -> tuple[FrontMatter, tuple[Finding, ...]]:
    reader = FieldReader(mapping)
    findings: list[Finding] = []
    front = FrontMatter(
        title=_line(reader.text("title")) or first_heading,
        summary=_line(reader.text("summary")),
        kind=Kind(reader.choice("kind", [kind.value for kind in Kind], Kind.ARTICLE.value)),
        date=reader.day("date"),
        updated=reader.day("updated"),
        order=reader.whole("order", _LOWEST, _HIGHEST),
        address=_optional(reader, "address"),
        question=_optional(reader, "question"),
        video=_video(reader, findings),
        credits=tuple(text for text in map(_line, reader.texts("credits")) if text),
        rights=_optional(reader, "rights"),
        disclosure=_optional(reader, "disclosure"),
        draft=reader.flag("draft", default=False),
    )
    findings += reader.finish()
    findings += _unencodable(mapping)
    findings += _required(front, reader, findings, first_heading, fence)
    if front.date and front.updated and front.updated < front.date:
        findings.append(_updated_too_early(front.date, front.updated, reader.span("updated")))
    return front, tuple(findings)


def _required(
    front: FrontMatter,
    reader: FieldReader,
    findings: list[Finding],
    first_heading: str,
    fence: Span,
) -> Iterator[Finding]:
    """What is missing, unless a misspelled field is plainly meant for it."""
    meant = {finding.suggestion for finding in findings}
    if _is_blank(reader, "title") and "title" not in meant:
        suggestion = f"{FENCE}\ntitle: {quoted(first_heading)}" if first_heading else None
        yield _error(fence, "The article has no `title`", suggestion)
    dated = front.kind is Kind.ARTICLE and not front.draft
    if dated and _is_blank(reader, "date") and "date" not in meant:
        yield _error(
            fence,
            "The article has no `date`; write it as `date: 2024-05-31`",
            reason="Lists and feeds put articles in order by the date they were first published; "
            "only a draft, a page or a chapter of the handbook needs none.",
        )


def _is_blank(reader: FieldReader, name: str) -> bool:
    """Whether a field is absent or empty; one of the wrong shape is neither."""
    nodes = [value for key, value in reader.mapping.entries if key.text == name]
    return not nodes or (isinstance(nodes[0], YamlText) and not nodes[0].text.strip())


def _video(reader: FieldReader, findings: list[Finding]) -> Video | None:
    group = reader.group("video", "address")
    if group is None:
        return None
    address = _web_address(group)
    seconds = _length(group)
    still = _optional(group, "still")
    for name, example in (("address", "https://…"), ("length", "12:34")):
        if not group.has(name):
            group.fault(group.mapping.span, f"the video has no `{name}: {example}`")
    findings += group.finish()
    if not address or not seconds:
        return None
    return Video(address, seconds, still)


def _web_address(group: FieldReader) -> str | None:
    text = _optional(group, "address")
    if text is None or _WEB_ADDRESS.fullmatch(text):
        return text
    match = _WITHOUT_SCHEME.fullmatch(text)
    meant = f"https://{match['rest']}" if match else None
    words = f"a video's address begins with https://, and `{text}` is none such"
    group.fault(group.span("address"), words, meant)
    return None


def _length(group: FieldReader) -> int | None:
    text = _optional(group, "length")
    if text is None:
        return None
    seconds = parse_timecode(text)
    if not seconds:
        words = f"a video's length is written as 12:34 or 1:02:03, not `{text}`"
        group.fault(group.span("length"), words, None if seconds == 0 else nearest_timecode(text))
    return seconds or None


def _optional(reader: FieldReader, name: str) -> str | None:
    """Text on one line; None where it is absent or empty."""
    return _line(reader.optional_text(name) or "") or None


def _line(text: str) -> str:
    """Text with its white space run together; what `_unencodable` reports becomes a `?`."""
    return _WHITE_SPACE.sub(" ", text).strip().encode("utf-8", "replace").decode("utf-8")


def _unencodable(node: YamlNode) -> Iterator[Finding]:
    r"""A YAML escape such as `"\ud83c"` makes half a character, which no file can hold."""
    if isinstance(node, YamlText):
        if any("\ud800" <= letter <= "\udfff" for letter in node.text):
            yield _error(node.span, "An escape in this value names half a character")
        return
    parts = [part for _, part in node.entries] if isinstance(node, YamlMap) else node.items
    for part in parts:
        yield from _unencodable(part)


def _updated_too_early(first: date, updated: date, span: Span) -> Finding:
    message = f"The article was updated on {updated}, before its own date {first}"
    return _error(span, message)


def _error(
    span: Span, message: str, suggestion: str | None = None, reason: str | None = None
) -> Finding:
    return Finding("front-matter", Severity.ERROR, span, message, suggestion, reason)
