"""Signs that music named after a major key is in the minor on the same tonic, or the other way.

Major and parallel minor share the tonic and the fourth and fifth above it; what tells them apart is
the third and, less surely, the sixth and seventh, of which minor has both forms. So the third must
change throughout, and the sixth bear it out: a tune with blue notes has the first and not the
second. Or the chord line says it: it opens and closes on the tonic chord of the other mode.
"""

from collections.abc import Sequence

from stavewright.checking.keys import is_at_home
from stavewright.checking.words import listed
from stavewright.theory.chord import Chord
from stavewright.theory.key import Key, Mode
from stavewright.theory.pitch import PitchName

_FEWEST_CHANGED = 3
"""Notes that only the other mode has."""
_FEWEST_CHORDS = 3
_OTHER_MODE = {Mode.MAJOR: Mode.MINOR, Mode.MINOR: Mode.MAJOR}


def parallel_of(key: Key) -> Key | None:
    """The key on the same tonic in the other mode; None for a key of neither mode."""
    mode = _OTHER_MODE.get(key.mode)
    return None if mode is None else Key(key.tonic, mode)


def told_by_notes(key: Key, other: Key, names: Sequence[PitchName], final: PitchName) -> str | None:
    """What in the notes says that a key is really its parallel; None where nothing says so."""
    if final != key.tonic or not all(is_at_home(name, other) for name in names):
        return None
    (third, sixth, seventh), own = (other.names[at] for at in (2, 5, 6)), key.names
    refuted = {own[2]} if other.mode is Mode.MINOR else {own[2], own[5], own[6]}
    changed = [name for name in names if name in {third, sixth, seventh} - set(own)]
    if refuted & set(names) or not {third, sixth} <= set(changed):
        return None
    if len(changed) < _FEWEST_CHANGED:
        return None
    beside = listed(str(name) for name in (sixth, seventh) if name in changed)
    return f"has {own[2]}, but the notes have {third} throughout, with {beside}, and end on {final}"


def told_by_chords(key: Key, other: Key, chords: Sequence[Chord]) -> str | None:
    """What in the chord line says that a key is really its parallel; None where nothing says so."""
    if len(chords) < _FEWEST_CHORDS:
        return None
    third = other.names[2]
    outer = chords[0], chords[-1]
    if any(chord.root != key.tonic or third not in chord.names for chord in outer):
        return None
    return f"has {key.names[2]}, but the chords begin and end with {third} over {key.tonic}"
