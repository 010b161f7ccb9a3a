"""Markdown that an author plainly meant and that the parser reads as ordinary words.

A link whose destination holds a space is printed with its brackets, a heading without a space
after its signs with its signs, a fence with a word much like `music` as it stands, and a claim
without its colon as code. None of these is a fault of Markdown, so nobody but the reader of the
page would notice.
"""

import re
from collections.abc import Iterator, Sequence
from typing import Final

from markdown_it.token import Token

from stavewright.articles.destinations import TERM_SCHEME
from stavewright.articles.fences import MUSIC, fence_span
from stavewright.articles.lines import Lines
from stavewright.articles.near import nearest
from stavewright.articles.places import Places, code_source
from stavewright.articles.slug import slugify
from stavewright.notation import parse_claim
from stavewright.notation.claim import Noun
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import SourceText

_LINK_WITH_SPACES = re.compile(r"\[[^\[\]\n]+\]\((?P<to>[^()<>\n\"]*[^()<>\s\"])\)")
_A_DESTINATION = re.compile(r"(term:|\.{0,2}/).*|.*\.[a-z0-9]{2,5}(#\S*)?", re.IGNORECASE)
_HEADING = re.compile(r"(?P<signs>#{2,6})(?P<word>[^\W\d_][^\W_]\S*)")
"""Two letters at least, so that no paragraph about `##F` is one."""

_LIKE_A_CLAIM = re.compile(
    rf"\s*(?P<noun>{'|'.join(noun.value for noun in Noun)})(?:\s*:\s*|\s+(?=\S))", re.IGNORECASE
)
_A_SIGN = re.compile(r"!=|~=|[=≠≈]")
_SAYS_MUSIC = re.compile(r"^(notes|chords|numerals|drums|staves|scale): *\S", re.MULTILINE)
_LIKE_MUSIC: Final = 0.8
_PLAIN: Final = "text"


def check_words(inline: Token, places: Places, *, in_paragraph: bool) -> Iterator[Finding]:
    """Links and headings that became words; `in_paragraph` says whether a heading could begin."""
    if in_paragraph and (match := _HEADING.match(inline.content)):
        yield Finding(
            "syntax",
            Severity.WARNING,
            places.span(*match.span()),
            f"A heading has a space between its signs and its words, as in `{match['signs']} …`",
            suggestion=f"{match['signs']} {match['word']}",
        )
    cursor = 0
    for token in inline.children or ():
        cursor = max(cursor, int(token.meta.get("end", 0)))
        if token.type == "code_inline" and "claim" not in token.meta:
            yield from _check_code(code_source(token, places))
        if token.type != "text":
            continue
        for match in _LINK_WITH_SPACES.finditer(token.content):
            start = inline.content.find(match[0], cursor)
            if start < 0 or inline.content[max(start - 1, 0)] == "\\":
                continue
            if " " in match["to"] and _A_DESTINATION.fullmatch(match["to"]):
                offset = start + match.start("to") - match.start()
                yield _spaced_link(match["to"], places, offset)


def check_fence_words(lines: Lines, tokens: Sequence[Token]) -> Iterator[Finding]:
    """Fences that are printed as they stand and look as if they were to be engraved."""
    for token in tokens:
        if token.type != "fence":
            continue
        word = token.info.strip().split(maxsplit=1)[:1]
        if word and word[0] != MUSIC and nearest(word[0].strip("{}."), [MUSIC], _LIKE_MUSIC):
            message = f"The word after these signs is `{word[0]}`, so the block is not engraved"
            yield _printed(lines, token, message)
        elif not word and _SAYS_MUSIC.search(token.content):
            message = "No word stands after these signs, so the block is not engraved"
            yield _printed(lines, token, message)


def _check_code(source: SourceText) -> Iterator[Finding]:
    """A span that would be a claim with its noun in small letters and a colon after it."""
    match = _LIKE_A_CLAIM.match(source.text)
    if match is None or len(source.lines) > 1 or not _A_SIGN.search(source.text):
        return
    meant = f"{match['noun'].lower()}: {source.text[match.end() :]}"
    claim = parse_claim(meant)
    if claim is None or claim.problem is not None:
        return
    yield Finding(
        "claim",
        Severity.WARNING,
        source.lines[0].span(source.file, 0, match.end()),
        f"`{source.text.strip()}` is printed as code, and nothing in it is checked",
        suggestion=f"{match['noun'].lower()}: ",
        reason="A claim opens with its noun in small letters and a colon, as in `chord: F7`.",
    )


def _printed(lines: Lines, token: Token, message: str) -> Finding:
    reason = f"`{MUSIC}` makes it a music block; `{_PLAIN}` says that it is to be read as it is."
    suggestion = f"{token.markup}{MUSIC}"
    return Finding(
        "syntax", Severity.WARNING, fence_span(lines, token), message, suggestion, reason
    )


def _spaced_link(to: str, places: Places, offset: int) -> Finding:
    is_term = to.casefold().startswith(TERM_SCHEME)
    return Finding(
        "term" if is_term else "link",
        Severity.ERROR,
        places.span(offset, offset + len(to)),
        f"`{to}` holds a space, so this is no link and is printed with its brackets",
        suggestion=f"{TERM_SCHEME}{slugify(to[len(TERM_SCHEME) :])}" if is_term else f"<{to}>",
        reason="Spaces end the destination of a link, unless it stands between `<` and `>`.",
    )
