"""Reads one Markdown file into an `Article`; no file is opened and nothing is raised here."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import PurePosixPath

from markdown_it.token import Token

from stavewright.articles.article import Article, Heading, Link
from stavewright.articles.destinations import check_destination, definition_spans, read_link
from stavewright.articles.fences import check_fence, fence_source, is_music
from stavewright.articles.footnotes import check_footnotes
from stavewright.articles.front_matter import body_start, read_front_matter
from stavewright.articles.html import keep_html, settle_html
from stavewright.articles.lines import Lines, printable
from stavewright.articles.markdown import parser
from stavewright.articles.places import Places, code_source, inline_places
from stavewright.articles.sections import check_main_headings, read_sections
from stavewright.articles.slips import check_fence_words, check_words
from stavewright.articles.video import check_times
from stavewright.notation import Block, Claim, parse_block, parse_claim
from stavewright.notation.finding import Finding, Severity, in_order
from stavewright.notation.source import Span


def read_article(path: str, text: str, file: str, *, raw_html: bool = False) -> Article:
    """Read an article.

    `path` is relative to the content folder, `file` is what findings name the file. Whatever the
    text, the answer is an article, with findings where something is wrong. Of the HTML in the
    text only what marks text up is kept, unless `raw_html` lets all of it through.
    """
    lines, findings = printable(Lines.of(text, file))
    body = body_start(lines)
    env: dict[str, object] = {}
    # Empty lines stand in for the front matter, so that the parser counts lines as the file does.
    source = "\n" * body + "\n".join(lines.texts[body:])
    tokens = tuple(parser(raw_html=raw_html).parse(source, env))
    found = list(findings)
    inlines = list(inline_places(lines, tokens))
    if raw_html:
        keep_html(tokens)
    else:
        found += settle_html(lines, tokens, inlines)
    headings, terms = read_sections(path, tokens, inlines, found)
    blocks = _read_blocks(lines, tokens, found)
    claims, links = _read_inlines(inlines, definition_spans(lines, env), found, raw_html=raw_html)
    found += _slips(lines, tokens, inlines)
    found += check_footnotes(lines, body, env, inlines)
    front = read_front_matter(lines, _first_heading(path, headings))
    found += front.findings
    found += check_main_headings(headings, front)
    # A video that could not be read is named all the same.
    if front.front.video or (front.present and not front.findings):
        found += check_times(headings, front.front.video)
    return Article(
        path=path,
        front=front.front,
        blocks=blocks,
        claims=claims,
        links=links,
        headings=headings,
        terms=terms,
        findings=in_order(found),
        tokens=tokens,
        has_front_matter=front.present,
        front_spans=front.spans,
    )


def read_bytes(path: str, data: bytes, file: str, *, raw_html: bool = False) -> Article:
    """Read an article from the bytes of its file, which should be UTF-8.

    A byte order mark before UTF-8 is passed over in silence. Bytes that are no UTF-8 are replaced,
    and a finding points at the first of them.
    """
    for mark, encoding in _OTHER_MARKS.items():
        if data.startswith(mark):
            article = read_article(path, data.decode(encoding, "replace"), file, raw_html=raw_html)
            return _with_finding(
                article, _not_utf8(file, b"", f"It is saved as {encoding.upper()}")
            )
    try:
        return read_article(path, data.decode("utf-8"), file, raw_html=raw_html)
    except UnicodeDecodeError as error:
        article = read_article(path, data.decode("utf-8", "replace"), file, raw_html=raw_html)
        message = f"The byte {data[error.start]:#04x} begins no character of UTF-8"
        return _with_finding(article, _not_utf8(file, data[: error.start], message))


_OTHER_MARKS = {b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}


def _not_utf8(file: str, before: bytes, message: str) -> Finding:
    lines = Lines.of(before.decode("utf-8"), file)
    width = len(lines.texts[-1])
    return Finding(
        "syntax",
        Severity.ERROR,
        lines.span(len(lines.texts) - 1, width, width + (1 if before else 0)),
        message,
        reason="Articles are saved as UTF-8; most editors offer it when a file is saved.",
    )


def _with_finding(article: Article, finding: Finding) -> Article:
    return replace(article, findings=in_order([*article.findings, finding]))


def _first_heading(path: str, headings: tuple[Heading, ...]) -> str:
    """The title of an article that names none: its first main heading, else the file's name."""
    ordered = sorted(headings, key=lambda heading: heading.level != 1)
    named = (heading.text for heading in ordered if heading.text)
    return next(named, PurePosixPath(path).stem.replace("-", " "))


def _read_blocks(
    lines: Lines, tokens: tuple[Token, ...], findings: list[Finding]
) -> tuple[Block, ...]:
    blocks: list[Block] = []
    for token in tokens:
        if is_music(token):
            token.meta["block"] = len(blocks)
            blocks.append(parse_block(fence_source(lines, token)))
            findings += check_fence(lines, token)
    return tuple(blocks)


def _slips(
    lines: Lines, tokens: tuple[Token, ...], inlines: list[tuple[Token, Places]]
) -> Iterator[Finding]:
    paragraphs = {
        id(inline) for opening, inline in pairwise(tokens) if opening.type == "paragraph_open"
    }
    for inline, places in inlines:
        yield from check_words(inline, places, in_paragraph=id(inline) in paragraphs)
    yield from check_fence_words(lines, tokens)


def _read_inlines(
    inlines: list[tuple[Token, Places]],
    definitions: dict[str, Span],
    findings: list[Finding],
    *,
    raw_html: bool,
) -> tuple[tuple[Claim, ...], tuple[Link, ...]]:
    claims: list[Claim] = []
    links: list[Link] = []
    for inline, places in inlines:
        children = inline.children or []
        for index, token in enumerate(children):
            if token.type == "code_inline":
                claim = parse_claim(code_source(token, places))
                if claim is not None:
                    token.meta["claim"] = len(claims)
                    claims.append(claim)
            elif token.type in {"link_open", "image"}:
                token.meta["link"] = len(links)
                links.append(read_link(children, index, places, definitions))
                if not raw_html:
                    findings += check_destination(token, links[-1])
    return tuple(claims), tuple(links)
