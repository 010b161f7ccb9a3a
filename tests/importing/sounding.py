"""What sounds in each bar, by our reader and by music21's: onsets, lengths and pitches.

Our side is taken from the block that came out, so that writing is judged with reading. Lengths of
tied notes are added up on both sides, since a block may split a note that no shape can show.
"""

from __future__ import annotations

import warnings
from collections import Counter
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from stavewright.importing.select import bars_of
from stavewright.notation.score import Drum

if TYPE_CHECKING:
    from pathlib import Path

    from stavewright.importing.model import Piece
    from stavewright.notation.score import Score

Sounding = tuple[Fraction, Fraction]
"""For one pitch in one bar: the sum of its onsets' moments and of its lengths."""
_Note = tuple[float, Fraction, Fraction, bool]
"""Pitch, onset, length, and whether it is only held on."""
BarContent = dict[float, Sounding]
_FINEST = 768


def of_score(score: Score) -> list[BarContent]:
    """Each bar of a block: MIDI numbers with where they begin and how long they last."""
    found: list[list[_Note]] = [[] for _ in score.bars]
    for voice in score.voices:
        for index, event in enumerate(voice.events):
            before = voice.events[index - 1].heads if index else ()
            held = {head.sound for head in before if head.tied}
            for head in event.heads:
                if not isinstance(head.sound, Drum):
                    start = event.start - score.bars[event.bar].start
                    is_held = head.sound in held
                    found[event.bar].append((head.sound.key_number, start, event.duration, is_held))
    return [_content(bar) for bar in found]


def of_music21(path: Path, piece: Piece) -> list[BarContent]:
    """The same by music21; its measures are joined into bars where ours are."""
    from music21 import converter

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        music: Any = converter.parse(path)
        music = music.toSoundingPitch()
        found: list[list[_Note]] = []
        for part in music.parts:
            for index, measure in enumerate(part.getElementsByClass("Measure")):
                while len(found) <= index:
                    found.append([])
                found[index] += _measure(measure)
    joined = [_joined(found, piece, bar.indices) for bar in bars_of(piece.measures)]
    return [_content(bar) for bar in [*joined, *found[len(piece.measures) :]]]


def _joined(found: list[list[_Note]], piece: Piece, indices: range) -> list[_Note]:
    notes: list[_Note] = []
    shift = Fraction(0)
    for index in indices:
        here = found[index] if index < len(found) else []
        notes += [(pitch, start + shift, length, held) for pitch, start, length, held in here]
        shift += piece.measures[index].length
    return notes


def _measure(measure: Any) -> list[_Note]:
    found = []
    for note in measure.recurse().notes:
        if "ChordSymbol" in note.classes or note.duration.isGrace or not note.pitches:
            continue
        if note.style.hideObjectOnPrint or "Unpitched" in note.classes:
            continue
        if getattr(note, "isUnpitched", False) or "PercussionChord" in note.classes:
            continue
        start = _exact(note.getOffsetInHierarchy(measure))
        heads = note.notes if note.isChord else [note]
        apart = any(head.tie is not None for head in heads)
        for head in heads:
            tie = head.tie if apart else note.tie
            held = tie is not None and tie.type in ("stop", "continue")
            found.append((float(head.pitch.ps), start, _exact(note.quarterLength), held))
    return found


def _exact(quarters: Any) -> Fraction:
    return Fraction(quarters).limit_denominator(_FINEST) / 4


def _content(notes: list[_Note]) -> BarContent:
    """Sums by pitch; unisons in two voices count once, as a block writes them in either."""
    onsets: dict[float, set[Fraction]] = {}
    spans: dict[float, set[tuple[Fraction, Fraction]]] = {}
    for pitch, start, length, held in notes:
        if not held:
            onsets.setdefault(pitch, set()).add(start)
        spans.setdefault(pitch, set()).add((start, start + length))
    return {
        pitch: (sum(onsets.get(pitch, set()), Fraction(0)), _covered(spans[pitch]))
        for pitch in spans
    }


def _covered(spans: set[tuple[Fraction, Fraction]]) -> Fraction:
    """The time during which a pitch sounds."""
    total, reached = Fraction(0), Fraction(0)
    for start, end in sorted(spans):
        total += max(Fraction(0), end - max(start, reached))
        reached = max(reached, end)
    return total


def differing(ours: list[BarContent], theirs: list[BarContent]) -> list[int]:
    """Indices of the bars that differ; one side may hold more bars only where they are silent."""
    count = max(len(ours), len(theirs))
    mine = [*ours, *({} for _ in range(count - len(ours)))]
    other = [*theirs, *({} for _ in range(count - len(theirs)))]
    return [index for index in range(count) if mine[index] != other[index]]


def agreement(score: Score, path: Path, piece: Piece) -> Counter[str]:
    """How many bars agree, and how many do not."""
    ours, theirs = of_score(score), of_music21(path, piece)
    wrong = len(differing(ours, theirs))
    return Counter(agree=max(len(ours), len(theirs)) - wrong, differ=wrong)
