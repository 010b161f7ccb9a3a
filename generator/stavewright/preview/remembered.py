"""Figures as they last were: what stands beside a block while it has errors.

Blocks have no names, and authors write new ones between old ones. So the blocks of an article are
laid beside those it had before: equal texts belong together, and what lies between them goes by
likeness, in order.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import SequenceMatcher
from threading import Lock

LIKE_ENOUGH = 0.5
"""Share of two texts that must agree for one to be taken for the other, by `difflib`'s ratio."""
_MOST_LOST = 20
"""Figures of an article that are kept although their blocks are gone: half a save comes back."""
_MOST_COMPARED = 400
"""Words of a text that are compared; likeness costs the square of them."""

_SCRIPT = re.compile(r"<script\b.*?</script>", re.DOTALL)
_ID = re.compile(r'\sid="([^"]+)"')
_POINTER = re.compile(r'(?P<before>(?:href="|url\()#|\saria-[a-z]+=")(?P<id>[^"\')]+)')


@dataclass(frozen=True, slots=True)
class SeenBlock:
    """A block of a page."""

    text: str
    figure: str | None
    """What its figure holds, as markup; None if it has errors."""


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of an article."""

    blocks: tuple[SeenBlock, ...] = ()
    """As they were last; one with errors has the figure it had before them."""
    lost: tuple[SeenBlock, ...] = ()

    def after(self, blocks: Sequence[SeenBlock]) -> "_Known":
        """What is known when the article has become these blocks."""
        partners = paired([each.text for each in self.blocks], [each.text for each in blocks])
        kept = {partner for partner in partners if partner is not None}
        gone = [each for i, each in enumerate(self.blocks) if i not in kept and each.figure]
        # A block that went elsewhere in the article is looked for among those that are gone.
        lost = (*gone, *self.lost)[:_MOST_LOST]
        now = []
        for block, partner in zip(blocks, partners, strict=True):
            if block.figure is None:
                old = _nearest(block.text, lost) if partner is None else self.blocks[partner]
                block = replace(block, figure=old.figure if old else None)
            now.append(block)
        return _Known(tuple(now), lost)


class Remembered:
    """The last good figure of every block that was worked on; may be used from any thread."""

    def __init__(self) -> None:
        self._articles: dict[str, _Known] = {}
        self._lock = Lock()

    def see(self, file: str, blocks: Sequence[SeenBlock]) -> None:
        """Take note of what an article's blocks have become."""
        with self._lock:
            self._articles[file] = self._articles.get(file, _Known()).after(blocks)

    def recall(self, file: str, blocks: Sequence[SeenBlock]) -> list[str | None]:
        """For each block its figure, or the last good one that it had; nothing is noted."""
        with self._lock:
            known = self._articles.get(file, _Known())
        return [block.figure for block in known.after(blocks).blocks]


def paired(before: Sequence[str], after: Sequence[str]) -> list[int | None]:
    """For each text of `after`, the index in `before` of the one it was."""
    partners: list[int | None] = [None] * len(after)
    matcher = SequenceMatcher(None, before, after, autojunk=False)
    for tag, first, last, start, stop in matcher.get_opcodes():
        if tag == "equal":
            partners[start:stop] = range(first, last)
        elif tag == "replace":
            _pair_alike(before, after, (first, last), (start, stop), partners)
    return partners


def _pair_alike(
    before: Sequence[str],
    after: Sequence[str],
    olds: tuple[int, int],
    news: tuple[int, int],
    partners: list[int | None],
) -> None:
    """Pair what changed between texts that did not, the most alike first, in order."""
    if olds[0] == olds[1] or news[0] == news[1]:
        return
    ratios = [
        (likeness(before[old], after[new]), -abs((old - olds[0]) - (new - news[0])), old, new)
        for old in range(*olds)
        for new in range(*news)
    ]
    ratio, _, old, new = max(ratios)
    if ratio < LIKE_ENOUGH:
        # A block that is the only one between its neighbours is that block, however much changed.
        if olds[1] - olds[0] == news[1] - news[0] == 1:
            partners[news[0]] = olds[0]
        return
    partners[new] = old
    _pair_alike(before, after, (olds[0], old), (news[0], new), partners)
    _pair_alike(before, after, (old + 1, olds[1]), (new + 1, news[1]), partners)


def likeness(one: str, other: str) -> float:
    """The share of their words, in order, that two texts have in common: from 0 to 1."""
    words, others = one.split()[:_MOST_COMPARED], other.split()[:_MOST_COMPARED]
    return SequenceMatcher(None, words, others, autojunk=False).ratio()


def _nearest(text: str, lost: Sequence[SeenBlock]) -> SeenBlock | None:
    found = max(lost, key=lambda each: likeness(each.text, text), default=None)
    return found if found and likeness(found.text, text) >= LIKE_ENOUGH else None


def as_it_was(markup: str, number: int) -> str:
    """A figure's markup without its sound, and with ids that are its own in any page."""
    silent = _SCRIPT.sub("", markup)
    own = set(_ID.findall(silent))
    named = _ID.sub(lambda found: f' id="was-{number}-{found[1]}"', silent)
    return _POINTER.sub(
        lambda found: (
            f"{found['before']}was-{number}-{found['id']}" if found["id"] in own else found[0]
        ),
        named,
    )
