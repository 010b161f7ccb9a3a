"""What a chord does where it stands: the part of a name that the notes alone cannot give.

C E G A is C6 where G7 led to it and Am7 where D7 follows. The readings here are of root movement
and leading tones, common practice, no source; each is given with a weight, by which names are
ranked, and a sentence, by which the reader may judge.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from stavewright.theory.chord_tone import degree_interval

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stavewright.theory.chord import Chord
    from stavewright.theory.key import Key
    from stavewright.theory.pitch import PitchName

_FIFTH: Final = degree_interval("5")
_FOURTH: Final = degree_interval("4")
_HALF_STEP: Final = degree_interval("b2")
_NO_DOMINANTS: Final = frozenset(("6", "6/9"))
"""Chords with a major third that are points of rest: their sixth says so."""


@dataclass(frozen=True, slots=True)
class Setting:
    """What is known of the place where some notes sound."""

    key: Key | None = None
    before: Chord | None = None
    after: Chord | None = None

    @property
    def has_neighbours(self) -> bool:
        """Whether a chord before or after is known."""
        return self.before is not None or self.after is not None


@dataclass(frozen=True, slots=True)
class Argument:
    """One thing that speaks for a name."""

    weight: int
    """How much: as much as a name may ask the reader to grant; see `naming_match.Match.strain`."""
    words: str
    """The argument as a whole sentence."""


def arguments(chord: Chord, setting: Setting) -> tuple[Argument, ...]:
    """Give what speaks for a chord: its function in the key, where it leads, where it comes from.

    One argument of each kind at most, the strongest.
    """
    kinds = (_in_key(chord, setting.key), _towards(chord, setting.after), _from(chord, setting))
    found = (max(kind, key=lambda each: each.weight, default=None) for kind in map(tuple, kinds))
    return tuple(each for each in found if each is not None)


def dominant_roots(setting: Setting) -> tuple[PitchName, ...]:
    """Give the roots of a dominant here: that of the key, and that of the chord that follows."""
    roots = []
    if setting.key is not None:
        roots.append(setting.key.tonic + _FIFTH)
    if setting.after is not None and setting.after.root is not None:
        roots.append(setting.after.root + _FIFTH)
    return tuple(dict.fromkeys(roots))


def _in_key(chord: Chord, key: Key | None) -> Iterator[Argument]:
    if key is None or key.tonic not in _aims(chord):
        return
    leading = key.tonic - _HALF_STEP
    sounding = next((name for name in chord.names if name.sounds_like(leading)), None)
    if sounding is None:
        how = ", its leading tone held back"
    elif sounding == leading:
        how = f": its {leading} is the leading tone"
    else:
        how = f": its {sounding} sounds as the leading tone {leading}"
    yield Argument(2, f"It acts as the dominant of {key}{how}.")


def _towards(chord: Chord, after: Chord | None) -> Iterator[Argument]:
    if after is None or after.root is None or chord.root is None:
        return
    how = _aims(chord).get(after.root)
    if how is not None:
        weight = 5 if "fifth" in how else 3
        yield Argument(weight, f"It leads to the {after} that follows, whose root lies {how}.")
    held = _held_back(chord, after)
    if held:
        yield Argument(6, f"{held} of the {after} that follows.")
    if chord.suffix == "dim7" and after.root in chord.names:
        words = f"It shares its {after.root} with the {after} that follows: a common-tone chord."
        yield Argument(2, words)
    if after.root + _FIFTH == chord.root:
        yield Argument(2, f"Its root falls a fifth to the {after} that follows.")
    elif after.root == chord.root:
        yield Argument(1, f"Its root stays in the {after} that follows.")


def _from(chord: Chord, setting: Setting) -> Iterator[Argument]:
    before = setting.before
    if before is None or before.root is None or chord.root is None:
        return
    if chord.root in _aims(before):
        yield Argument(3, f"The {before} before it leads here as a dominant.")
    elif before.root == chord.root + _FIFTH:
        yield Argument(2, f"The root of the {before} before it falls a fifth to its own.")
    elif before.root == chord.root:
        yield Argument(1, f"It keeps the root of the {before} before it.")


def _aims(chord: Chord) -> dict[PitchName, str]:
    """Give the roots that a chord leads to as a dominant, each with how it lies from this one's.

    A dominant has a major third and no major seventh, or a suspended fourth with a minor seventh;
    a leading-tone chord has a minor third and a diminished fifth. The tritone substitute of a
    dominant lies a half step above its aim.
    """
    root, degrees = chord.root, chord.degrees
    if root is None:
        return {}
    is_suspended = "4" in degrees and "b7" in degrees and "b3" not in degrees
    is_major = "3" in degrees and "7" not in degrees and chord.suffix not in _NO_DOMINANTS
    if is_major and "b7" in degrees:
        return {root + _FOURTH: "a fifth below", root - _HALF_STEP: "a half step below"}
    if is_major or is_suspended:
        return {root + _FOURTH: "a fifth below"}
    if "b3" in degrees and "b5" in degrees:
        return {root + _HALF_STEP: "a half step above"}
    return {}


def _held_back(chord: Chord, after: Chord) -> str:
    """Say which tone of a suspended chord the next chord on the same root resolves, if it does."""
    third = after.tone_numbered(3)
    held = chord.tone_numbered(4, 2)
    if chord.root != after.root or third is None or held is None or chord.tone_numbered(3):
        return ""
    return f"Its {held.name} is held back from the {third.name}"
