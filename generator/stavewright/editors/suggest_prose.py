"""What could be written at a place outside the blocks: claims, links, front matter, a fence."""

import posixpath
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final
from urllib.parse import quote

from stavewright.articles.article import Article
from stavewright.articles.paths import resolve
from stavewright.articles.worked.answer import Answer
from stavewright.articles.worked.chord import chord_answer
from stavewright.articles.worked.interval import interval_answer
from stavewright.articles.worked.key import key_answer
from stavewright.articles.worked.note import note_answer
from stavewright.articles.worked.numeral import numeral_answer
from stavewright.articles.worked.scale import scale_answer
from stavewright.editors.document import Document
from stavewright.editors.front_fields import FRONT_FIELDS, in_front_matter
from stavewright.editors.suggest import Completion, Kind, chord_symbols, numerals_in, of_names
from stavewright.editors.suggest_block import of_keys, of_scales
from stavewright.notation.claim import Noun
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key

_LINK: Final = re.compile(r"\]\((?P<to><?[^()\s<>]*)$")
_CLAIM: Final = re.compile(r"(?P<noun>[a-z]+):\s*(?P<text>.*)$")
_ROOT: Final = re.compile(r"(?P<root>[A-G](?:##?|bb?|x)?)\S*$")
_STATED: Final = re.compile(r"(?P<subject>[^=≠≈!~]+?)\s*=\s*(?P<rest>[^=]*)$")
_NUMERAL_KEY: Final = re.compile(r"\S+\s+in\s+(?P<key>.*)$")
_FENCE: Final = re.compile(r"[\s>]*(?:`{3,}|~{3,})(?P<word>\w*)$")
_ABOUT: Final = {
    Noun.NOTE: "A4 = 440 Hz",
    Noun.INTERVAL: "F4 to D#5 = augmented sixth",
    Noun.SCALE: "D dorian = D E F G A B C",
    Noun.KEY: "D# major = 9 sharps",
    Noun.CHORD: "F7 = F A C Eb",
    Noun.NUMERAL: "V7 in C minor = G B D F",
    Noun.RHYTHM: "3/8 = 1/4 + 1/8",
}
_WORKED: Final[dict[str, Callable[[str], Answer]]] = {
    "note": note_answer,
    "interval": interval_answer,
    "scale": scale_answer,
    "key": key_answer,
    "chord": chord_answer,
    "numeral": numeral_answer,
}


@dataclass(frozen=True, slots=True)
class Reach:
    """What links may lead to."""

    paths: frozenset[str]
    """Files, below the root of all links."""
    terms: tuple[tuple[str, str], ...]
    """Slug and name."""
    article: Callable[[str], Article | None]
    """The article at a path."""


def in_prose(document: Document, reach: Reach, line: int, column: int) -> tuple[Completion, ...]:
    """What could be written at a place outside the blocks."""
    before = document.line(line)[: column - 1]
    if in_front_matter(document, line):
        return tuple(_front(before, column))
    if match := _FENCE.match(before):
        return tuple(of_names([("music", "a music block")], column - len(match["word"])))
    if before.count("`") % 2:
        return tuple(_in_code(before.rpartition("`")[2], column))
    if match := _LINK.search(before):
        return tuple(_destinations(document, reach, match["to"], column))
    return ()


def _front(before: str, column: int) -> list[Completion]:
    if not re.fullmatch(r"[a-z]*", before):
        return []
    start = column - len(before)
    return [Completion(name, f"{name}: ", start, Kind.FIELD, about) for name, about in FRONT_FIELDS]


def _in_code(text: str, column: int) -> list[Completion]:
    """A claim that is being written: its noun, its subject, what is true of that."""
    if re.fullmatch(r"[a-z]*", text):
        start = column - len(text)
        return [
            Completion(noun.value, f"{noun.value}: ", start, Kind.WORD, about)
            for noun, about in _ABOUT.items()
        ]
    match = _CLAIM.fullmatch(text)
    if match is None:
        return []
    if stated := _STATED.fullmatch(match["text"]):
        return _truth(match["noun"], stated["subject"], stated["rest"], column)
    suggest = _SUBJECTS.get(match["noun"])
    return suggest(match["text"], column) if suggest else []


def _truth(noun: str, subject: str, rest: str, column: int) -> list[Completion]:
    """What may stand behind the sign so that the claim is true."""
    work_out = _WORKED.get(noun)
    try:
        claim = work_out(subject.strip()).claim if work_out else None
    except TheoryError:
        return []
    if claim is None:
        return []
    truth = claim.partition(" = ")[2]
    return of_names([(truth, "what theory says")], column - len(rest)) if truth else []


def _chord(text: str, column: int) -> list[Completion]:
    match = _ROOT.fullmatch(text)
    return chord_symbols(match["root"], column - len(text)) if match else []


def _numeral(text: str, column: int) -> list[Completion]:
    if match := _NUMERAL_KEY.fullmatch(text):
        return of_keys(match["key"], column)
    return numerals_in(Key.parse("C major"), column - len(text)) if " " not in text else []


_SUBJECTS: Final[dict[str, Callable[[str, int], list[Completion]]]] = {
    "key": of_keys,
    "scale": of_scales,
    "chord": _chord,
    "numeral": _numeral,
}


def _destinations(document: Document, reach: Reach, typed: str, column: int) -> list[Completion]:
    start = column - len(typed)
    own = document.article.path
    if typed.startswith("term:"):
        return [
            Completion(name, f"term:{slug}", start, Kind.TERM, slug) for slug, name in reach.terms
        ]
    target, sign, _ = typed.partition("#")
    if sign:
        path = resolve(own, target)
        article = document.article if path == own else reach.article(path or "")
        return _anchors(article, target, start) if article else []
    pages = [
        Completion(shown, shown, start, Kind.PAGE, path)
        for path in sorted(reach.paths)
        if path != own
        for shown in [quote(posixpath.relpath(path, posixpath.dirname(own) or "."), safe="/")]
    ]
    pages.sort(key=lambda page: (page.insert.startswith(".."), page.insert))
    return [Completion("term:", "term:", start, Kind.TERM, "an entry of the glossary"), *pages]


def _anchors(article: Article, target: str, start: int) -> list[Completion]:
    found = [(heading.anchor, heading.text) for heading in article.headings]
    found += [(term.slug, term.name) for term in article.terms]
    return [
        Completion(f"#{anchor}", f"{target}#{quote(anchor)}", start, Kind.PAGE, words)
        for anchor, words in found
    ]
