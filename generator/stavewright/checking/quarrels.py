"""Where the lines of a block disagree among themselves: chord symbols, numerals, notes.

Each says what the chord is. Where two of the three agree, the third is the odd one out, and the
finding is made there and nowhere else. Only labels that begin together are compared: one line may
well say more than the other in between.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from stavewright.checking.agreeing import agrees
from stavewright.checking.fault import Fault, FaultKind
from stavewright.checking.misnamed_key import misnamed_key
from stavewright.checking.sounding import Note
from stavewright.checking.verdicts import Verdict, chord_verdicts, numeral_verdicts
from stavewright.notation.finding import Severity
from stavewright.notation.score import Score
from stavewright.notation.source import Span
from stavewright.theory.chord_tone import ChordTone

_OF_A_NOTE = (FaultKind.RIVAL, FaultKind.FOREIGN)
"""Faults by which one note contradicts a label."""


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
    """The tone that both labels ask for in its place, where it can be told."""


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
    """A note that both labels speak against."""
    blamed = {fault.note.index for fault in numeral.faults if _is_plain(fault) and fault.note}
    for fault in symbol.faults:
        if _is_plain(fault) and fault.note is not None and fault.note.index in blamed:
            tone = fault.tone or _tone_missed(symbol, fault.note)
            yield Quarrel(OddOne.NOTE, symbol, numeral, fault.note, tone)


def _is_plain(fault: Fault) -> bool:
    return fault.kind in _OF_A_NOTE and fault.severity is Severity.ERROR


def _tone_missed(verdict: Verdict, note: Note) -> ChordTone | None:
    """The one tone of the chord that never sounds, if the note stands a step from it."""
    sounding = {other.pitch.name for other in verdict.hearing.notes}
    missed = [tone for tone in verdict.reading.chord.tones if tone.name not in sounding]
    if len(missed) != 1:
        return None
    away = (missed[0].name.letter.place - note.pitch.letter.place) % 7
    return missed[0] if away in (1, 6) else None
