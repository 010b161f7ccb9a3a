"""What a lone tune can tell against the chords above it.

A melody need not contain the third, and may rest on sixths, sevenths, ninths; so only a plain
contradiction counts: the other third, or the other seventh, held or on a strong beat, while the
chord's own never sounds. The minor third over a major or dominant chord is a blue note unless the
tune spells out the minor triad.
"""

from collections.abc import Iterator
from fractions import Fraction

from stavewright.checking.fault import Fault, FaultKind
from stavewright.checking.heard import Heard
from stavewright.checking.metre import BEAT
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Severity

_HALF = Fraction(1, 2)
_QUARTER = Fraction(1, 4)


def melody_faults(heard: Heard) -> Iterator[Fault]:
    """The notes of a lone tune that contradict the label."""
    for part in heard.strangers:
        note, rival = part.note, heard.rival(part.note)
        if rival is None or heard.has(rival):
            continue
        spelled_out = _spells_triad_with(heard, note)
        if heard.is_blue(note) and not (spelled_out and heard.is_triad):
            if heard.is_triad and not _may_be_blue(heard) and _is_plain(heard, note):
                yield Fault(FaultKind.RIVAL, Severity.WARNING, note, rival)
            continue
        if rival.number == 3 and (spelled_out or _is_plain(heard, note)):
            yield Fault(FaultKind.RIVAL, Severity.ERROR, note, rival)
        elif rival.number == 7 and heard.hearing.share(note) >= _HALF:
            yield Fault(FaultKind.RIVAL, Severity.WARNING, note, rival)


def _may_be_blue(heard: Heard) -> bool:
    """Whether the block says that its style has blue notes."""
    style = (heard.hearing.score.style or "").lower()
    return "blues" in style or "jazz" in style


def _is_plain(heard: Heard, note: Note) -> bool:
    """Whether nobody can overhear the note: it fills half the label, or falls on a strong beat."""
    share = heard.hearing.share(note)
    return share >= _HALF or (share >= _QUARTER and heard.hearing.weight(note) > BEAT)


def _spells_triad_with(heard: Heard, note: Note) -> bool:
    """Whether root and fifth sound as well, so that the note is the third of a whole triad."""
    chord = heard.reading.chord
    if chord.root is None:
        return False
    sounds = {other.pitch.name for other in heard.hearing.notes}
    fifth = chord.tone_numbered(5)
    return {chord.root, fifth.name if fifth else chord.root, note.pitch.name} <= sounds
