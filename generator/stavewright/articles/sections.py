"""Headings and glossary terms: what in an article has an anchor of its own."""

from itertools import pairwise
from pathlib import PurePosixPath

from markdown_it.token import Token

from stavewright.articles.article import Heading, Term
from stavewright.articles.headings import Anchors
from stavewright.articles.places import Places
from stavewright.articles.plain import plain_text
from stavewright.articles.slug import is_anchor, slugify
from stavewright.articles.video import nearest_timecode, parse_timecode
from stavewright.notation.finding import Finding, Severity

GLOSSARY = "glossary.md"
"""The name of the file whose definition lists are the glossary."""

_Inlines = list[tuple[Token, Places]]


def read_sections(
    path: str, tokens: tuple[Token, ...], inlines: _Inlines, findings: list[Finding]
) -> tuple[tuple[Heading, ...], tuple[Term, ...]]:
    """The headings and the terms of an article, marked in the tokens' `meta`."""
    openings = {id(inline): opening for opening, inline in pairwise(tokens)}
    named = {"heading_open": list[tuple[Token, Token, Places]](), "dt_open": []}
    for inline, places in inlines:
        opening = openings.get(id(inline))
        if opening is not None and opening.type in named:
            named[opening.type].append((opening, inline, places))
    terms: tuple[Term, ...] = ()
    if PurePosixPath(path).name == GLOSSARY:
        terms = _read_terms(named["dt_open"], findings)
    return _read_headings(named["heading_open"], terms, findings), terms


def _read_terms(
    written: list[tuple[Token, Token, Places]], findings: list[Finding]
) -> tuple[Term, ...]:
    terms: dict[str, Term] = {}
    for opening, inline, places in written:
        name = plain_text(inline.children or ())
        slug = slugify(name)
        span = places.span(0, len(inline.content))
        if slug in terms:
            first = terms[slug].span.line
            message = f"The term `{name}` is defined twice; it stands in line {first} already"
            findings.append(Finding("term", Severity.ERROR, span, message))
        elif slug:
            opening.meta["term"] = len(terms)
            terms[slug] = Term(name, slug, span)
    return tuple(terms.values())


def _read_headings(
    written: list[tuple[Token, Token, Places]], terms: tuple[Term, ...], findings: list[Finding]
) -> tuple[Heading, ...]:
    explicit: dict[str, Token] = {term.slug: Token("", "", 0) for term in terms}
    for _, inline, places in written:
        _reserve(inline, places, explicit, findings)
    anchors = Anchors.reserving(explicit)
    headings: list[Heading] = []
    for opening, inline, places in written:
        opening.meta["heading"] = len(headings)
        text = plain_text(inline.children or ())
        own = _explicit(inline)
        anchor = own if own and explicit.get(own) is inline else anchors.of(text)
        seconds = _seconds(inline, places, findings)
        span = places.span(0, len(inline.meta.get("written", inline.content)))
        headings.append(Heading(int(opening.tag[1:]), text, anchor, seconds, span))
    return tuple(headings)


def _explicit(inline: Token) -> str | None:
    place = inline.meta.get("anchor")
    return None if place is None else inline.meta["written"][slice(*place)]


def _reserve(
    inline: Token, places: Places, explicit: dict[str, Token], findings: list[Finding]
) -> None:
    """Give a heading the anchor its author wrote, if it is one and still free."""
    anchor = _explicit(inline)
    if anchor is None:
        return
    span = places.span(*inline.meta["anchor"])
    if not is_anchor(anchor):
        message = f"`{anchor}` cannot be an anchor, which is made of letters, digits and hyphens"
        meant = slugify(anchor) or slugify(plain_text(inline.children or ())) or None
        findings.append(Finding("address", Severity.ERROR, span, message, meant))
    elif anchor in explicit:
        message = f"The anchor `{anchor}` is taken already in this article"
        reason = "A link to it would lead to the first of the two."
        free = next(f"{anchor}-{n}" for n in range(2, 10**9) if f"{anchor}-{n}" not in explicit)
        findings.append(Finding("address", Severity.ERROR, span, message, free, reason))
    else:
        explicit[anchor] = inline


def _seconds(inline: Token, places: Places, findings: list[Finding]) -> int | None:
    place = inline.meta.get("time")
    if place is None:
        return None
    written = inline.meta["written"][slice(*place)]
    seconds = parse_timecode(written)
    if seconds is None:
        message = f"`{written}` is no time; times are written as 1:42 or 1:02:03"
        meant = nearest_timecode(written)
        span = places.span(*place)
        findings.append(Finding("front-matter", Severity.ERROR, span, message, meant))
    return seconds
