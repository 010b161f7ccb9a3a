"""What each style asks of the writing: the rules that give advice where a block names it."""

from dataclasses import dataclass
from typing import Final

_MOTION: Final = ("parallel-fifths", "parallel-octaves", "direct-fifths", "direct-octaves")
"""How two voices move together."""
_LINE: Final = ("augmented-second", "cross-relation")
"""How lines keep to the key, each alone and one after another."""
_CHORDS: Final = (
    "leading-tone-resolution",
    "seventh-resolution",
    "doubling",
    "six-four",
    "suspension",
)
"""How the notes of a chord come, go and are shared out; heard only in three voices or more."""
_PLACE: Final = ("voice-spacing", "voice-crossing", "voice-overlap")
"""How the voices keep their places."""


@dataclass(frozen=True, slots=True)
class Style:
    """One of the styles of `notation.vocabulary.STYLES`."""

    name: str
    writing: str
    """What it is called in a sentence: `chorale writing` prefers this to that."""
    asks: frozenset[str]
    """Ids of the rules that give advice."""


STYLES: Final = {
    style.name: style
    for style in (
        Style("chorale", "chorale writing", frozenset((*_MOTION, *_LINE, *_CHORDS, *_PLACE))),
        # Lines of equal rights cross and overlap as they like, and their chords come by the way.
        Style("counterpoint", "strict counterpoint", frozenset((*_MOTION, *_LINE))),
        Style("blues", "the blues", frozenset()),
        Style("jazz", "jazz", frozenset()),
    )
}
"""By name. Common practice, no source: what harmony and counterpoint courses agree on."""
ADVICE_RULES: Final = frozenset((*_MOTION, *_LINE, *_CHORDS, *_PLACE))
"""Every rule that speaks only where a style asks."""
