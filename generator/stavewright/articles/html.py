"""HTML in an article's text: kept where it only marks text up, printed as text where it does not.

A tag is kept if its element is one of `ELEMENTS` and its partner stands in the same paragraph, or,
for tags that stand between paragraphs, around whole ones. So what is kept is well formed by itself,
and nothing reaches out of the article's body. Every other tag is printed as its author typed it,
with a finding that says so. The decision is noted in the token's `meta` as `html`, the markup that
stands for it. `sanitise.py` then cleans the whole body once more, with a parser of HTML.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from html import escape, unescape

from markdown_it.common import html_re
from markdown_it.token import Token

from stavewright.articles.html_elements import ELEMENTS, EVERYWHERE, SCHEMES, VOID
from stavewright.articles.lines import Lines
from stavewright.articles.places import Places
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span

_ATTRIBUTE = re.compile(
    rf"\s+(?P<name>{html_re.attr_name})(?:\s*=\s*(?P<value>{html_re.attr_value}))?"
)
_TAG = re.compile(r"<(?P<end>/?)(?P<name>[A-Za-z][A-Za-z0-9-]*)")
_ANY_TAG = html_re.HTML_TAG_RE
_SCHEME = re.compile(r"\s*(?P<scheme>[A-Za-z][A-Za-z0-9+.-]*):")
_WAY_OUT = "`raw_html: true` in site.yaml lets all HTML of the articles through, as it is written."


@dataclass(slots=True)
class _Piece:
    """A stretch of an HTML token: a tag, a comment, or the text between them."""

    text: str
    span: Span | None = None
    """Where a tag stands; None for text."""
    name: str = ""
    """Of a tag's element, in small letters; empty for text and for what is no tag."""
    is_end: bool = False
    is_kept: bool = False

    @property
    def is_comment(self) -> bool:
        return self.text.startswith("<!--")

    @property
    def markup(self) -> str:
        if self.is_comment:
            return ""
        if not self.is_kept:
            # Character references in the text of HTML mean what they mean in Markdown.
            return escape(self.text if self.span else unescape(self.text), quote=False)
        return f"</{self.name}>" if self.is_end else _tag(self.name, _kept(self))


@dataclass(slots=True)
class _Settler:
    """Walks the tokens in reading order and finds for each tag its partner."""

    lines: Lines
    open: list[_Piece | None] = field(default_factory=list)
    """Tags whose partner has not come yet; None where something of Markdown's own began."""
    settled: list[tuple[Token, list[_Piece]]] = field(default_factory=list)

    def walk(self, tokens: Sequence[Token], places: dict[int, Places]) -> None:
        for token in tokens:
            if token.type == "inline":
                self.open.append(None)
                self._walk_inline(token, places.get(id(token)))
                self._leave()
            elif token.type == "html_block":
                self._add(token, list(_block_pieces(self.lines, token)))
            elif token.nesting > 0:
                self.open.append(None)
            elif token.nesting < 0:
                self._leave()

    def _walk_inline(self, inline: Token, places: Places | None) -> None:
        for token in inline.children or ():
            if token.type == "html_inline":
                span = self.lines.span(0, 0, 0) if places is None else _inline_span(token, places)
                self._add(token, [_piece(token.content, span)])
            elif token.nesting > 0:
                self.open.append(None)
            elif token.nesting < 0:
                self._leave()

    def _leave(self) -> None:
        """Something of Markdown's own ends; tags that were left open in it stay without partner."""
        while self.open and self.open.pop() is not None:
            pass

    def _add(self, token: Token, pieces: list[_Piece]) -> None:
        self.settled.append((token, pieces))
        for piece in pieces:
            if piece.name not in ELEMENTS:
                continue
            if piece.name in VOID:
                piece.is_kept = not piece.is_end
            elif piece.is_end:
                self._close(piece)
            else:
                self.open.append(piece)

    def _close(self, end: _Piece) -> None:
        for at in range(len(self.open) - 1, -1, -1):
            start = self.open[at]
            if start is None:
                return
            if start.name == end.name:
                start.is_kept = end.is_kept = True
                del self.open[at:]
                return


def settle_html(
    lines: Lines, tokens: Sequence[Token], inlines: Sequence[tuple[Token, Places]]
) -> Iterator[Finding]:
    """Decide what becomes of each piece of HTML, and say which of it is not kept."""
    settler = _Settler(lines)
    settler.walk(tokens, {id(token): places for token, places in inlines})
    told: set[str] = set()
    for token, pieces in settler.settled:
        markup = "".join(piece.markup for piece in pieces)
        is_printed = token.type == "html_block" and not any(piece.is_kept for piece in pieces)
        token.meta["html"] = (
            f"<p>{markup.strip()}</p>\n" if is_printed and markup.strip() else markup
        )
        token.meta["printed"] = "".join(
            piece.text for piece in pieces if not (piece.is_kept or piece.is_comment)
        )
        for piece in pieces:
            finding = _said_of(piece)
            # The end of an element is told of only where its beginning was not.
            if finding is not None and not (piece.is_end and piece.name in told):
                yield finding
            if piece.name not in ELEMENTS and not piece.is_end:
                told.add(piece.name)


def keep_html(tokens: Sequence[Token]) -> None:
    """Let all HTML through as it is written."""
    for token in tokens:
        for each in (token, *(token.children or ())):
            if each.type in {"html_block", "html_inline"}:
                each.meta |= {"html": each.content, "printed": "", "is_raw": True}


def _inline_span(token: Token, places: Places) -> Span:
    return places.span(token.meta.get("start", 0), token.meta.get("end", 0))


def _block_pieces(lines: Lines, token: Token) -> Iterator[_Piece]:
    """The pieces of a block of HTML; comments, tags and the text between them."""
    text, at = token.content, 0
    first = token.map[0] if token.map else 0
    while at < len(text):
        found = _ANY_TAG.match(text, at) if text[at] == "<" else None
        if found:
            row = min(first + text.count("\n", 0, at), len(lines.texts) - 1)
            written = found[0].partition("\n")[0]
            # A block may stand in a list or a quotation, whose signs are no part of its text.
            indent = lines.texts[row].find(text[text.rfind("\n", 0, at) + 1 : at] + written)
            column = max(indent, 0) + at - (text.rfind("\n", 0, at) + 1)
            yield _piece(found[0], lines.span(row, column, column + len(written)))
            at = found.end()
        else:
            end = text.find("<", at + 1)
            yield _Piece(text[at : end if end >= 0 else len(text)])
            at = end if end >= 0 else len(text)


def _piece(text: str, span: Span) -> _Piece:
    tag = _TAG.match(text)
    name = tag["name"].lower() if tag else ""
    return _Piece(text, span, name, is_end=bool(tag and tag["end"]))


def _attributes(piece: _Piece) -> dict[str, str]:
    """The attributes of a tag; of one that is said twice, the first counts (13.2.5.33)."""
    found: dict[str, str] = {}
    for match in _ATTRIBUTE.finditer(piece.text, len(piece.name) + 1):
        value = match["value"] or ""
        bare = value[1:-1] if value[:1] in {"'", '"'} else value
        found.setdefault(match["name"].lower(), unescape(bare))
    return found


def _kept(piece: _Piece) -> dict[str, str]:
    allowed = ELEMENTS[piece.name] | EVERYWHERE
    return {
        name: value
        for name, value in _attributes(piece).items()
        if name in allowed and (name != "href" or has_good_scheme(value))
    }


def has_good_scheme(address: str) -> bool:
    """Whether an address is a whole one, of a scheme that can do no harm."""
    # Browsers pass over white space and controls in a scheme (URL Standard, 4.4).
    match = _SCHEME.match("".join(sign for sign in address if sign > " "))
    return match is not None and match["scheme"].lower() in SCHEMES


def _tag(name: str, attributes: dict[str, str]) -> str:
    written = "".join(f' {key}="{escape(value)}"' for key, value in attributes.items())
    return f"<{name}{written}>"


def _said_of(piece: _Piece) -> Finding | None:
    if piece.span is None or piece.is_comment:
        return None
    if piece.is_kept:
        return _left_out(piece, piece.span)
    if piece.name in ELEMENTS:
        partner = "begins" if piece.is_end else "ends"
        message = f"No tag {partner} this `{piece.name}` here, so it is printed as text"
    elif piece.name:
        tag = f"<{'/' if piece.is_end else ''}{piece.name}>"
        message = f"Articles hold no `{piece.name}`, so `{tag}` is printed as text"
    else:
        message = "Articles hold no such HTML, so this is printed as text"
    as_text = escape(piece.text, quote=False) if "\n" not in piece.text else None
    return Finding("syntax", Severity.WARNING, piece.span, message, as_text, _WAY_OUT)


def _left_out(piece: _Piece, span: Span) -> Finding | None:
    """What to say of the attributes of a tag that are not kept."""
    kept = {} if piece.is_end else _kept(piece)
    dropped = [] if piece.is_end else [name for name in _attributes(piece) if name not in kept]
    if not dropped:
        return None
    names = " and ".join(f"`{name}`" for name in dropped)
    are = "is" if len(dropped) == 1 else "are"
    message = f"{names} of this `{piece.name}` {are} left out"
    if dropped == ["href"] and piece.name == "a":
        message += "; in HTML, links begin with https:, http: or mailto:"
    usable = _tag(piece.name, kept) if "\n" not in piece.text else None
    return Finding("syntax", Severity.WARNING, span, message, usable, _WAY_OUT)
