"""Finds the label that would fit: every offer has itself been judged and found without fault."""

from collections.abc import Iterator

from stavewright.checking.fault import FaultKind
from stavewright.checking.heard import take_in
from stavewright.checking.hearing import Hearing
from stavewright.checking.judging import judge
from stavewright.checking.reading import chords_of
from stavewright.checking.verdicts import Verdict
from stavewright.theory.chord import Chord
from stavewright.theory.key import Key
from stavewright.theory.naming import name_chord
from stavewright.theory.numeral import Numeral
from stavewright.theory.numeral_naming import numeral_for
from stavewright.theory.pitch import Pitch

_MOST_NAMES = 8
"""More notes than the largest chord has are no chord."""
_MOST_TRIED = 12
"""Names that are tried for one set of notes; those further down nobody would write."""


_OF_THE_BASS = (FaultKind.BASS, FaultKind.FOREIGN, FaultKind.UNNAMED)
"""Faults of a lowest note that a slash can put right."""
_OTHER_THIRD = {"": "m", "m": "", "7": "m7", "m7": "7", "maj7": "mMaj7", "mMaj7": "maj7"}
"""Suffixes that differ in the third alone."""


def fitting_symbol(verdict: Verdict, likely: Chord | None = None) -> str | None:
    """The likeliest chord symbol that nothing in the stretch speaks against.

    `likely` is a chord to try first: what another line says.
    """
    chord = _fitting_chord(verdict, _key_of(verdict), likely)
    if chord is None:
        return None
    leaves_bass_open = verdict.reading.bass is None
    if leaves_bass_open and chord.root is not None and chord.is_inverted:
        # A first slash in the line would make every plain symbol speak of the bass.
        return Chord.on(chord.root, chord.suffix).symbol
    return chord.symbol


def fitting_numeral(verdict: Verdict, likely: Chord | None = None) -> str | None:
    """The likeliest numeral that nothing in the stretch speaks against; as `fitting_symbol`."""
    key = verdict.reading.key
    if key is None:
        return None
    for chord in _candidates(verdict, key, likely):
        numeral = numeral_for(chord, key)
        if numeral is not None and _numeral_fits(numeral, key, verdict):
            return str(numeral)
    return None


def _key_of(verdict: Verdict) -> Key | None:
    return verdict.reading.key or verdict.hearing.score.key_at(verdict.hearing.start)


def _fitting_chord(verdict: Verdict, key: Key | None, likely: Chord | None) -> Chord | None:
    for chord in _candidates(verdict, key, likely):
        # An augmented sixth has no root and so no chord symbol.
        if chord.root is not None and _symbol_fits(chord, verdict, likely):
            return chord
    return None


def _symbol_fits(chord: Chord, verdict: Verdict, likely: Chord | None) -> bool:
    """Whether a chord symbol is without fault; an augmented sixth it writes as it sounds."""
    faults = judge(verdict.reading.naming(chord), verdict.hearing)
    if likely is None or likely.root is not None:
        return not faults
    alike = {name.cents for name in chord.names} == {name.cents for name in likely.names}
    return all(alike and fault.kind is FaultKind.SPELLING for fault in faults)


def _numeral_fits(numeral: Numeral, key: Key, verdict: Verdict) -> bool:
    """Whether one of a numeral's readings is without fault."""
    for chord in chords_of(numeral, key):
        reading = verdict.reading.naming(chord, numeral)
        if not judge(reading, verdict.hearing):
            return True
    return False


def _candidates(verdict: Verdict, key: Key | None, likely: Chord | None) -> Iterator[Chord]:
    """Chords to try, the likeliest first; for a mere slip of the bass the same chord over it."""
    tried: set[Chord] = set()
    said = _said_elsewhere(verdict, likely) if likely is not None else ()
    likeliest = (*said, *_over_the_bass(verdict), *_with_other_third(verdict))
    for chord in (*likeliest, *_named(verdict, key)):
        if chord not in tried:
            tried.add(chord)
            yield chord


def _said_elsewhere(verdict: Verdict, likely: Chord) -> Iterator[Chord]:
    """What another line says, over the bass that sounds, then as it stands."""
    lowest = verdict.hearing.lowest_notes
    if lowest and likely.root is not None and likely.tone(lowest[0].pitch.name) is not None:
        yield likely.over(lowest[0].pitch.name)
    yield likely


def _over_the_bass(verdict: Verdict) -> Iterator[Chord]:
    chord = verdict.reading.chord
    lowest = verdict.hearing.lowest_notes
    movable = chord.root is not None and chord.upper is None and not verdict.hearing.is_melody
    blamed = [fault.note for fault in verdict.faults if fault.kind in _OF_THE_BASS]
    if movable and lowest and lowest[0] in blamed:
        yield chord.over(lowest[0].pitch.name)


def _with_other_third(verdict: Verdict) -> Iterator[Chord]:
    """The chord with the third that sounds, where that is all that is wrong."""
    chord = verdict.reading.chord
    other = _OTHER_THIRD.get(chord.suffix)
    rivals = (f.tone for f in verdict.faults if f.kind is FaultKind.RIVAL and f.tone is not None)
    if chord.root is not None and other is not None and any(t.number == 3 for t in rivals):
        yield Chord.on(chord.root, other, chord.bass)


def _named(verdict: Verdict, key: Key | None) -> Iterator[Chord]:
    for pitches in _note_sets(verdict):
        if pitches and len({pitch.name for pitch in pitches}) <= _MOST_NAMES:
            for candidate in name_chord(pitches, key)[:_MOST_TRIED]:
                if candidate.chord is not None:
                    yield candidate.chord


def _note_sets(verdict: Verdict) -> Iterator[list[Pitch]]:
    """The notes that may make up the harmony, by several ways of hearing."""
    hearing = verdict.hearing
    heard = take_in(verdict.reading, hearing)
    strangers = {part.note.index for part in heard.strangers}
    yield [p.note.pitch for p in heard.parts if p.belongs or p.note.index in strangers]
    yield from _by_length(hearing)
    yield [note.pitch for note in hearing.notes if note.onset <= hearing.onset]


def _by_length(hearing: Hearing) -> Iterator[list[Pitch]]:
    yield [note.pitch for note in hearing.notes]
    yield [note.pitch for note in hearing.notes if hearing.share(note) * 2 >= 1]
