"""Headings and glossary terms: what in an article has an anchor of its own."""

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import PurePosixPath

from markdown_it.token import Token

from stavewright.articles.article import Heading, Term
from stavewright.articles.front_matter import FrontMatterRead
from stavewright.articles.headings import Anchors
from stavewright.articles.places import Places
from stavewright.articles.plain import plain_text
from stavewright.articles.slug import is_anchor, slugify
from stavewright.articles.video import TIMECODE, nearest_timecode, parse_timecode
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.source import Span

GLOSSARY = "glossary.md"
"""The name of the file whose definition lists are the glossary."""

_TIME_IN_FRONT = re.compile(rf"(?P<time>\[{TIMECODE}\])\s+(?P<words>[^\[\]{{}}]+)")

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


def check_main_headings(headings: tuple[Heading, ...], front: FrontMatterRead) -> Iterator[Finding]:
    """A page has one heading of the first level, its title, which the front matter says."""
    if front.findings or not any(name == "title" for name, _ in front.spans):
        return
    for heading in headings:
        if heading.level == 1:
            again = heading.text == front.front.title
            yield Finding(
                "front-matter",
                Severity.WARNING,
                heading.span,
                "The title stands at the head of the page already; take this heading away"
                if again
                else "A heading of the first level is the title; sections begin with `##`",
                reason="Readers who listen to a page find their way by its headings.",
            )


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
        written_text = inline.meta.get("written", inline.content)
        span = places.span(0, len(written_text))
        if match := _TIME_IN_FRONT.fullmatch(written_text):
            findings.append(_time_in_front(span, match))
        headings.append(Heading(int(opening.tag[1:]), text, anchor, seconds, span))
    return tuple(headings)


def _time_in_front(span: Span, match: re.Match[str]) -> Finding:
    return Finding(
        "front-matter",
        Severity.WARNING,
        span,
        f"The time of a heading stands at its end; here {match['time']} is part of its words",
        suggestion=f"{match['words']} {match['time']}",
    )


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
