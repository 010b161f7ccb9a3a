"""Where the lines of a block disagree among themselves: chord symbols, numerals, notes.

Each says what the chord is. Where two of the three agree, the third is the odd one out, and the
finding is made there and nowhere else. Only labels that begin together are compared: one line may
well say more than the other in between.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from stavewright.checking.fault import FaultKind
from stavewright.checking.misnamed_key import misnamed_key
from stavewright.checking.sounding import Note
from stavewright.checking.verdicts import Verdict, chord_verdicts, numeral_verdicts
from stavewright.notation.finding import Severity
from stavewright.notation.score import Score
from stavewright.notation.source import Span
from stavewright.theory.chord import Chord
from stavewright.theory.chord_tone import ChordTone


class OddOne(Enum):
    """Which of the three disagrees with the others."""

    SYMBOL = "the chord symbol"
    NUMERAL = "the numeral"
    NOTE = "the note"
    UNDECIDED = "one of the two labels"


@dataclass(frozen=True, slots=True)
class Quarrel:
    """A chord symbol and a numeral over the same music that cannot all be right."""

    odd: OddOne
    symbol: Verdict
    numeral: Verdict
    note: Note | None = None
    """The note at fault where the labels agree."""
    tone: ChordTone | None = None
    """The tone that both labels ask for in its place."""


def quarrels(score: Score) -> tuple[Quarrel, ...]:
    """Every disagreement, label by label."""
    numerals = {verdict.reading.start: verdict for verdict in numeral_verdicts(score)}
    if not numerals or misnamed_key(score) is not None:
        return ()
    found: list[Quarrel] = []
    for symbol in chord_verdicts(score):
        numeral = numerals.get(symbol.reading.start)
        if numeral is not None:
            found += _between(symbol, numeral)
    return tuple(found)


def accused(score: Score) -> frozenset[Span]:
    """The labels of which another rule speaks, so that the label rules need not."""
    misnamed = misnamed_key(score)
    # Where the key is wrong, the numerals that are read in it need not be.
    spans: set[Span] = set(misnamed.numerals if misnamed is not None else ())
    for quarrel in quarrels(score):
        if quarrel.odd in (OddOne.SYMBOL, OddOne.NOTE):
            spans.add(quarrel.symbol.reading.span)
        if quarrel.odd is not OddOne.SYMBOL:
            spans.add(quarrel.numeral.reading.span)
    return frozenset(spans)


def _between(symbol: Verdict, numeral: Verdict) -> Iterator[Quarrel]:
    agree = any(agrees(symbol.reading.chord, reading.chord) for reading in numeral.readings)
    if agree:
        yield from _against_the_notes(symbol, numeral)
    elif not symbol.hearing.notes:
        yield Quarrel(OddOne.UNDECIDED, symbol, numeral)
    elif symbol.contradicts != numeral.contradicts:
        odd = OddOne.SYMBOL if symbol.contradicts else OddOne.NUMERAL
        yield Quarrel(odd, symbol, numeral)
    elif not symbol.contradicts:
        yield Quarrel(OddOne.UNDECIDED, symbol, numeral)


def _against_the_notes(symbol: Verdict, numeral: Verdict) -> Iterator[Quarrel]:
    """A tone that both labels ask for and the notes have in another form."""
    blamed = {
        fault.note.index for fault in numeral.faults if fault.kind is FaultKind.RIVAL and fault.note
    }
    for fault in symbol.faults:
        if fault.kind is not FaultKind.RIVAL or fault.severity is not Severity.ERROR:
            continue
        if fault.note is not None and fault.note.index in blamed:
            yield Quarrel(OddOne.NOTE, symbol, numeral, fault.note, fault.tone)


def agrees(symbol: Chord, numeral: Chord) -> bool:
    """Whether a chord symbol and the chord of a numeral can be two names of one harmony.

    One may say more than the other (G and V7), and a lead sheet may write an augmented sixth as the
    dominant seventh it sounds like.
    """
    if not _basses_agree(symbol, numeral):
        return False
    sounds = {name.cents for name in symbol.names}
    others = {name.cents for name in numeral.names}
    if sounds == others:
        return True
    if symbol.root is None or numeral.root is None:
        return False
    if not symbol.root.sounds_like(numeral.root):
        return False
    return all(_same_form(symbol, numeral, number) for number in (3, 5, 7))


def _same_form(symbol: Chord, numeral: Chord, number: int) -> bool:
    one, other = symbol.tone_numbered(number), numeral.tone_numbered(number)
    return one is None or other is None or one.name.sounds_like(other.name)


def _basses_agree(symbol: Chord, numeral: Chord) -> bool:
    """A plain symbol leaves the bass open; a slash does not."""
    return symbol.bass == symbol.root or symbol.bass.sounds_like(numeral.bass)
