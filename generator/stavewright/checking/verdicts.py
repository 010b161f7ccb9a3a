"""Every label of a score beside what is heard under it, and what is wrong with it."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from stavewright.checking.bar_rows import BarRow, bar_rows
from stavewright.checking.fault import Fault, FaultKind
from stavewright.checking.hearing import Hearing, hear, is_lone_melody
from stavewright.checking.judging import best
from stavewright.checking.reading import Reading, chord_readings, numeral_readings
from stavewright.checking.sounding import sounding
from stavewright.checking.this_score import ThisScore
from stavewright.notation.finding import Severity
from stavewright.notation.score import Score


@dataclass(frozen=True, slots=True)
class Verdict:
    """One label, judged."""

    reading: Reading
    """Of several readings the one that fits best."""
    readings: tuple[Reading, ...]
    hearing: Hearing
    faults: tuple[Fault, ...]
    """The most serious first."""

    @property
    def harmony_faults(self) -> tuple[Fault, ...]:
        """What is wrong with the chord, its spelling aside."""
        return tuple(fault for fault in self.faults if fault.kind is not FaultKind.SPELLING)

    @property
    def spelling_faults(self) -> tuple[Fault, ...]:
        """Tones of the chord that are spelled as other notes."""
        return tuple(fault for fault in self.faults if fault.kind is FaultKind.SPELLING)

    @property
    def contradicts(self) -> bool:
        """Whether the notes plainly say something else than the label."""
        return any(fault.severity is Severity.ERROR for fault in self.harmony_faults)


def chord_verdicts(score: Score) -> tuple[Verdict, ...]:
    """The chord line, label by label."""
    return _chord_verdicts(ThisScore(score))


def numeral_verdicts(score: Score) -> tuple[Verdict, ...]:
    """The numeral line, label by label."""
    return _numeral_verdicts(ThisScore(score))


# Half a dozen rules ask for the same verdicts one after the other; only the last score is kept.
@lru_cache(maxsize=1)
def _chord_verdicts(this: ThisScore) -> tuple[Verdict, ...]:
    labels = ((reading,) for reading in chord_readings(this.score))
    return _judged(this.score, labels, bar_rows(this.score).chords)


@lru_cache(maxsize=1)
def _numeral_verdicts(this: ThisScore) -> tuple[Verdict, ...]:
    return _judged(this.score, numeral_readings(this.score), bar_rows(this.score).numerals)


def _judged(
    score: Score, labels: Iterator[tuple[Reading, ...]], own: BarRow
) -> tuple[Verdict, ...]:
    """The labels of a line beside what sounds; `own` is the line, bar by bar."""
    what = sounding(score)
    is_melody = is_lone_melody(what)
    rows = (*bar_rows(score).voices, own)
    unsure = [part for row in rows for part in _unsure_stretches(score, row)]
    found = []
    for readings in labels:
        if any(readings[0].start < end and start < readings[0].end for start, end in unsure):
            continue
        start, end = readings[0].start, readings[0].end
        hearing = hear(score, what, start, end, is_melody=is_melody)
        reading, faults = best(readings, hearing)
        found.append(Verdict(reading, readings, hearing, faults))
    return tuple(found)


def _unsure_stretches(score: Score, row: BarRow) -> Iterator[tuple[Fraction, Fraction]]:
    """Bars in which a line does not add up: what stands over what is anybody's guess."""
    for at in row.wrong_bars:
        bar = score.bars[at]
        yield bar.start, bar.start + max(bar.length, row.bars[at].length)
