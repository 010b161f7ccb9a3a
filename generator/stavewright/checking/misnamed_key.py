"""A key in which the numerals do not fit notes and chords, while in another every one of them does.

One wrong word at the head of a block makes all numerals under it wrong. The mistake is then said
once, where it stands, and not again at each numeral.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import takewhile

from stavewright.checking.agreeing import agrees
from stavewright.checking.keys import is_at_home
from stavewright.checking.sounding import sounding
from stavewright.checking.this_score import ThisScore
from stavewright.checking.verdicts import Verdict, numeral_verdicts
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import NumeralEvent, Score
from stavewright.notation.source import Span
from stavewright.theory.chord import Chord
from stavewright.theory.key import Key, Mode

_FEWEST = 2
"""Numerals at odds with the notes; one alone is its own mistake."""
_MOST_ACCIDENTALS = 7
_SHARPWISE = ("Fb", "Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B")
_TONICS = (*_SHARPWISE, "F#", "C#", "G#", "D#", "A#")


@dataclass(frozen=True, slots=True)
class MisnamedKey:
    """What a block calls its key, and what its numerals and notes say it is."""

    span: Span
    """The value of the field `key`."""
    named: Key
    better: Key
    numerals: tuple[Span, ...]
    """Those that are read in the key: nothing need be said of them one by one."""
    at_odds: int
    """How many of them do not fit the notes."""

    @property
    def finding(self) -> Finding:
        """What to say, at the key."""
        message = (
            f"Read in {self.named}, {self.at_odds} of {len(self.numerals)} numerals do not fit what"
            f" stands with them; in {self.better} all of them do"
        )
        return Finding(
            "key-signature", Severity.ERROR, self.span, message, str(self.better), _REASON
        )


_REASON = "A numeral counts from the tonic, so that a wrong key makes every one of them wrong."


def misnamed_key(score: Score) -> MisnamedKey | None:
    """Find out whether it is the key of the block that is wrong, rather than its numerals."""
    return _misnamed(ThisScore(score))


# Three rules ask, one after the other; only the last score is kept.
@lru_cache(maxsize=1)
def _misnamed(this: ThisScore) -> MisnamedKey | None:
    score, key = this.score, this.score.key
    span = score.field_span("key")
    if key is None or span is None:
        return None
    run = tuple(takewhile(lambda event: event.key in (None, key), score.numerals))
    last = max((event.end for event in run), default=Fraction(0))
    odd = _is_at_odds(score)
    judged = [(v.reading.start, odd(v)) for v in numeral_verdicts(score) if v.reading.start < last]
    at_odds = [start for start, is_odd in judged if is_odd]
    if len(at_odds) < _FEWEST:
        return None
    if 2 * len(at_odds) <= len(judged):
        if any(not is_odd for start, is_odd in judged if start <= at_odds[-1]):
            return None
        # The numerals come to the named key later, by its name; only those before are concerned.
        run = tuple(event for event in run if event.start <= at_odds[-1])
    better = _fitting_key(score, key, run)
    if better is None:
        return None
    spans = tuple(event.span for event in run if event.span is not None)
    return MisnamedKey(span, key, better, spans, len(at_odds))


def _fitting_key(score: Score, named: Key, run: tuple[NumeralEvent, ...]) -> Key | None:
    """The key in which no numeral is at odds with the notes; of several the one most at home."""
    fitting = []
    for at, key in enumerate(_other_keys(named)):
        numerals = tuple(replace(event, key=key) for event in run)
        tried = replace(score, key=key, numerals=numerals)
        judged = numeral_verdicts(tried)
        if not any(map(_is_at_odds(score), judged)):
            no_tonic = not any(_is_tonic(verdict.reading.chord, key) for verdict in judged)
            fitting.append((no_tonic, _away(score, key, run[-1].end), at, key))
    return min(fitting, key=lambda each: each[:3])[3] if fitting else None


def _is_at_odds(score: Score) -> Callable[[Verdict], bool]:
    """A test of numerals against the notes, and against the chord symbols that begin with them."""
    symbols = {event.start: event.chord for event in score.chords if event.chord is not None}

    def test(verdict: Verdict) -> bool:
        symbol = symbols.get(verdict.reading.start)
        chords = [reading.chord for reading in verdict.readings]
        return verdict.contradicts or (
            symbol is not None and not any(agrees(symbol, chord) for chord in chords)
        )

    return test


def _is_tonic(chord: Chord, key: Key) -> bool:
    """Whether a chord is the key's own triad on the tonic, with or without more."""
    return chord.root == key.tonic and key.names[2] in chord.names


def _other_keys(named: Key) -> Iterator[Key]:
    """Every other key with a signature, those of the same mode first."""
    modes = dict.fromkeys((named.mode, Mode.MAJOR, Mode.MINOR))
    for mode in modes:
        for tonic in _TONICS:
            key = Key.parse(f"{tonic} {mode.value}")
            signature = key.signature
            if key != named and signature is not None and abs(signature) <= _MOST_ACCIDENTALS:
                yield key


def _away(score: Score, key: Key, end: Fraction) -> Fraction:
    """How long the notes sound that the key does not have."""
    notes = (note for note in sounding(score).notes if note.start < end)
    away = (note.duration for note in notes if not is_at_home(note.pitch.name, key))
    return sum(away, Fraction(0))
