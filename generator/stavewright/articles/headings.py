"""What an author may put behind the words of a heading: its time in the video and its anchor.

    ## The answer [1:42] {#answer}

Both are taken off before the heading's own Markdown is read; a backslash before the bracket keeps
it as text. An anchor without `{#…}` is made of the heading's words (`slug.py`), and of two headings
with the same words the second gets `-2`.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from markdown_it.rules_core import StateCore
from markdown_it.token import Token

from stavewright.articles.slug import slugify
from stavewright.articles.video import TIMECODE

_TIME = re.compile(rf"(?<!\S)\[(?P<time>{TIMECODE})\]$")
_ANCHOR = re.compile(r"(?<!\S)\{#(?P<anchor>[^{}\s]*)\}$")
_WITHOUT_WORDS = "section"


def split_headings(state: StateCore) -> None:
    """Core rule: move times and anchors from the ends of headings to their tokens' `meta`.

    The inline token gets `written`, the heading's whole text, and `time` and `anchor` as a pair of
    offsets into it.
    """
    for opening, inline in pairwise(state.tokens):
        if opening.type == "heading_open" and inline.type == "inline":
            inline.meta["written"] = inline.content
            _split_last(inline)
            _split_last(inline)


def _split_last(inline: Token) -> None:
    """Take off the time or the anchor that ends the text; each at most once."""
    for name, pattern in (("time", _TIME), ("anchor", _ANCHOR)):
        match = None if name in inline.meta else pattern.search(inline.content)
        if match:
            inline.meta[name] = match.span(name)
            inline.content = inline.content[: match.start()].rstrip()
            return


@dataclass(slots=True)
class Anchors:
    """Gives out the anchors of one article, each once."""

    _taken: set[str]
    _counts: dict[str, int]

    @classmethod
    def reserving(cls, explicit: Iterable[str]) -> "Anchors":
        """Anchors that the author wrote are given to nobody else."""
        return cls(set(explicit), {})

    def of(self, words: str) -> str:
        """The anchor for a heading without one of its own."""
        slug = slugify(words) or _WITHOUT_WORDS
        if slug not in self._taken:
            self._taken.add(slug)
            return slug
        count = self._counts.get(slug, 1) + 1
        while f"{slug}-{count}" in self._taken:
            count += 1
        self._counts[slug] = count
        self._taken.add(f"{slug}-{count}")
        return f"{slug}-{count}"
