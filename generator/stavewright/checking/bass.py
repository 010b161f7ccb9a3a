"""Is the bass the one that the label claims?

The bass of a stretch is what lies lowest when it begins, or lowest of all: a bass may arpeggiate
(Alberti, stride, a walking line), enter late, or be suspended and resolve. A pedal point under
changing chords is nobody's bass.
"""

from collections.abc import Iterator

from stavewright.checking.fault import Fault, FaultKind
from stavewright.checking.heard import Heard, Part
from stavewright.checking.ornaments import Ornament
from stavewright.checking.sounding import Note


def bass_faults(heard: Heard) -> Iterator[Fault]:
    """The bass note that contradicts the label, if one does."""
    claimed = heard.reading.bass
    lowest = heard.hearing.lowest_notes
    if claimed is None or not lowest or heard.hearing.fullness < 2 or _is_rootless(heard):
        return
    parts = {part.note.index: part for part in heard.parts}
    candidates = list(_candidates(heard, lowest, parts))
    if not any(note.pitch.name.sounds_like(claimed) for note in candidates):
        tone = heard.reading.chord.tone(claimed)
        yield Fault(FaultKind.BASS, heard.reading.bass_severity, lowest[0], tone)


def _candidates(heard: Heard, lowest: tuple[Note, ...], parts: dict[int, Part]) -> Iterator[Note]:
    """The notes that can pass for the bass of the stretch."""
    yield lowest[0]
    yield min(lowest, key=lambda note: note.pitch.cents)
    opening = parts[lowest[0].index].ornament
    if opening is Ornament.PEDAL:
        # The real bass lies above the pedal.
        above = [p.note for p in heard.parts if p.note.pitch != lowest[0].pitch]
        yield from above
    elif opening is not None:
        yield from lowest[1:]


def _is_rootless(heard: Heard) -> bool:
    """Whether a seventh chord or larger sounds without the root on which the label builds.

    So voice chord symbols; under a numeral only ninths and larger go without their root.
    """
    chord = heard.reading.chord
    if heard.reading.names_every_note and len(chord.tones) < 5:
        return False
    root = chord.tone(chord.root) if chord.root is not None else None
    if root is None or root.is_required or heard.reading.bass != chord.root:
        return False
    return not heard.has(root)
