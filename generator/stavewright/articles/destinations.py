"""Where a link of an article points, as the author wrote it."""

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import takewhile
from typing import cast
from urllib.parse import unquote

from markdown_it.token import Token

from stavewright.articles.article import Link, LinkKind
from stavewright.articles.html import has_good_scheme
from stavewright.articles.lines import Lines
from stavewright.articles.places import Places
from stavewright.articles.plain import plain_text
from stavewright.articles.slug import slugify
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span

TERM_SCHEME = "term:"
_DEFINITION = re.compile(r"\]:\s*(?:>\s*)*(?:<(?P<pointed>[^<>\n]*)>|(?P<bare>\S+))")
_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:|//")


def definition_spans(lines: Lines, env: dict[str, object]) -> dict[str, Span]:
    """Where the destinations of `[label]: destination` stand, from the parser's `env`."""
    references = cast("dict[str, dict[str, list[int]]]", env.get("references", {}))
    spans: dict[str, Span] = {}
    for label, reference in references.items():
        first, end = reference["map"]
        match = _DEFINITION.search("\n".join(lines.texts[first:end]))
        if match:
            spans[label] = lines.stretch(first, *match.span(match.lastgroup or 0))
    return spans


def read_link(
    tokens: Sequence[Token], index: int, places: Places, definitions: Mapping[str, Span]
) -> Link:
    """The link or picture that the token at `index` opens."""
    token = tokens[index]
    if token.type == "image":
        text = plain_text(token.children or ())
    else:
        level = token.level
        inside = takewhile(
            lambda t: not (t.type == "link_close" and t.level == level),
            map(tokens.__getitem__, range(index + 1, len(tokens))),
        )
        text = plain_text(inside)
    written = str(token.attrs.get("src" if token.type == "image" else "href", ""))
    kind, target, anchor = split_destination(written, text)
    return Link(kind, target, anchor, text, _span(token, places, definitions))


def check_destination(token: Token, link: Link) -> Iterator[Finding]:
    """What is wrong with where a link or picture of the web points; nothing is fetched.

    A link that could do something else than lead somewhere is marked as `dead` in the token's
    `meta` and gets no address in the page.
    """
    if link.kind is not LinkKind.OUTSIDE:
        return
    if not has_good_scheme(link.target) and not link.target.startswith("//"):
        token.meta["dead"] = True
        scheme = link.target.partition(":")[0]
        yield Finding(
            "link",
            Severity.ERROR,
            link.span,
            f"A page may not lead to an address that begins with `{scheme}:`",
            reason="Links begin with https:, http: or mailto:, or are paths within the content.",
        )
    elif token.type == "image":
        yield Finding(
            "link",
            Severity.WARNING,
            link.span,
            "A picture from another host is not shown; keep a copy of it beside the article",
            reason="Built pages ask no other host for anything, for the sake of their readers.",
        )


def split_destination(written: str, text: str) -> tuple[LinkKind, str, str]:
    """Kind, target and anchor of a destination; `text` names the term where it is `term:` alone."""
    if written.casefold().startswith(TERM_SCHEME):
        term = unquote(written[len(TERM_SCHEME) :]) or text
        return LinkKind.TERM, slugify(term), ""
    if _SCHEME.match(written):
        return LinkKind.OUTSIDE, written, ""
    path, _, fragment = written.partition("#")
    target = unquote(path.partition("?")[0])
    # Without a path it is this page: `#anchor`, or nothing at all.
    is_article = not target or target.casefold().endswith(".md")
    return LinkKind.ARTICLE if is_article else LinkKind.FILE, target, unquote(fragment)


def _span(token: Token, places: Places, definitions: Mapping[str, Span]) -> Span:
    meta = token.meta
    if "to" in meta:
        return places.span(meta["to"], meta["to_end"])
    whole = places.span(meta.get("start", 0), meta.get("end", 0))
    return definitions.get(meta.get("label", ""), whole)
