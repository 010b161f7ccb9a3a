"""The text for the description of an article's video, in plain text and within a length.

Hosts cut a description that is too long wherever their limit falls, which may be in the middle of
an address. So the text is shortened here, a whole part at a time, in this order:

1. the addresses of sections, from the last to the first;
2. the summary, to its first sentence, and then all of it;
3. the chapters, all at once, since players refuse a list with gaps;
4. the credits, for which a line says that they stand in the article;
5. that line;
6. the disclosures, last of all, since law may ask for them.

What stays in any case is the article's address; if even that is too long, the text is empty.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from stavewright.articles.article import Article
from stavewright.articles.video import Chapter, chapters, format_timecode

_SENTENCE_END = re.compile(r"(?<=[.!?…])\s+")


@dataclass(frozen=True, slots=True)
class DescriptionWords:
    """The words a description adds, for authors in other languages."""

    article: str = "The article"
    opening: str = "Introduction"
    """The chapter from 0:00, where no heading begins there."""
    chapters: str = "Chapters"
    sections: str = "Sections of the article"
    credits: str = "Credits"
    credits_elsewhere: str = "Credits stand in the article."
    disclosure: str = "Disclosure"


ENGLISH = DescriptionWords()


@dataclass(frozen=True, slots=True)
class Description:
    """A description, and what was left out of it to keep within the limit."""

    text: str
    omitted: tuple[str, ...] = ()
    """In words, in the order they were given up."""


@dataclass(frozen=True, slots=True)
class _Parts:
    summary: str
    address: str
    chapters: tuple[Chapter, ...]
    sections: tuple[tuple[str, str], ...]
    credits: tuple[str, ...]
    credits_elsewhere: bool
    disclosures: tuple[str, ...]


def describe(
    article: Article,
    page_address: str,
    anchor_addresses: Mapping[str, str],
    limit: int,
    disclosure: str | None = None,
    words: DescriptionWords = ENGLISH,
) -> str:
    """The description, at most `limit` Unicode code points long."""
    return compose(article, page_address, anchor_addresses, limit, disclosure, words).text


def compose(
    article: Article,
    page_address: str,
    anchor_addresses: Mapping[str, str],
    limit: int,
    disclosure: str | None = None,
    words: DescriptionWords = ENGLISH,
) -> Description:
    """The description and what had to be left out.

    `page_address` and the values of `anchor_addresses` (by anchor) are whole web addresses;
    `disclosure` is what the site says in every description, besides the article's own.
    """
    parts = _parts(article, page_address, anchor_addresses, disclosure, words)
    omitted: list[str] = []
    for shortened, what in _shortenings(parts):
        if what:
            omitted.append(what)
        text = _text(shortened, words)
        if len(text) <= limit:
            return Description(text, tuple(dict.fromkeys(omitted)))
    omitted.append("the article's address")
    return Description("", tuple(dict.fromkeys(omitted)))


def _parts(
    article: Article,
    page_address: str,
    anchor_addresses: Mapping[str, str],
    disclosure: str | None,
    words: DescriptionWords,
) -> _Parts:
    found = chapters(article.headings, words.opening)
    sections = tuple(
        (chapter.title, anchor_addresses[chapter.anchor])
        for chapter in found
        if chapter.anchor is not None and chapter.anchor in anchor_addresses
    )
    own = article.front.disclosure
    disclosures = dict.fromkeys(_line(text) for text in (own, disclosure) if text)
    return _Parts(
        summary=_line(article.front.summary),
        address=page_address,
        chapters=found,
        sections=sections,
        credits=tuple(map(_line, article.front.credits)),
        credits_elsewhere=False,
        disclosures=tuple(disclosures),
    )


def _shortenings(parts: _Parts) -> Iterator[tuple[_Parts, str]]:
    """Ever shorter parts, each with what it gave up; the whole first."""
    yield parts, ""
    while parts.sections:
        parts = replace(parts, sections=parts.sections[:-1])
        yield parts, "addresses of sections"
    for name, change in _STEPS:
        shorter = change(parts)
        if shorter != parts:
            parts = shorter
            yield parts, name


def _first_sentence(parts: _Parts) -> _Parts:
    return replace(parts, summary=_SENTENCE_END.split(parts.summary, maxsplit=1)[0])


_STEPS: tuple[tuple[str, Callable[[_Parts], _Parts]], ...] = (
    ("the summary's later sentences", _first_sentence),
    ("the summary", lambda parts: replace(parts, summary="")),
    ("the chapters", lambda parts: replace(parts, chapters=())),
    (
        "the credits",
        lambda parts: replace(parts, credits=(), credits_elsewhere=bool(parts.credits)),
    ),
    ("where the credits stand", lambda parts: replace(parts, credits_elsewhere=False)),
    ("the disclosures", lambda parts: replace(parts, disclosures=())),
)


def _text(parts: _Parts, words: DescriptionWords) -> str:
    if not any((parts.summary, parts.chapters, parts.credits, parts.disclosures)):
        # The barest form: where even a word before the address might be one too many.
        return parts.address
    times = [f"{format_timecode(part.seconds)} {_line(part.title)}" for part in parts.chapters]
    addresses = [f"{_line(title)}: {address}" for title, address in parts.sections]
    paragraphs = [
        parts.summary,
        f"{words.article}: {parts.address}",
        _list(words.chapters, times),
        _list(words.sections, addresses),
        _list(words.credits, parts.credits),
        words.credits_elsewhere if parts.credits_elsewhere else "",
        "\n".join(f"{words.disclosure}: {text}" for text in parts.disclosures),
    ]
    return "\n\n".join(paragraph for paragraph in paragraphs if paragraph)


def _list(title: str, rows: "tuple[str, ...] | list[str]") -> str:
    return "\n".join([f"{title}:", *rows]) if rows else ""


def _line(text: str) -> str:
    return " ".join(text.split())
