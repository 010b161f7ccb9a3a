"""What a label claims, whether it is a chord symbol or a Roman numeral."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from stavewright.notation.finding import Severity
from stavewright.notation.score import ChordEvent, NumeralEvent, Score
from stavewright.notation.source import Span
from stavewright.theory.chord import Chord
from stavewright.theory.errors import TheoryError
from stavewright.theory.key import Key
from stavewright.theory.numeral import Numeral
from stavewright.theory.pitch import PitchName


@dataclass(frozen=True, slots=True)
class Reading:
    """One chord, over a stretch of time, and how much the label says about it."""

    chord: Chord
    start: Fraction
    end: Fraction
    text: str
    """The label as written."""
    span: Span
    bass: PitchName | None
    """The bass it claims; None where it leaves the bass open, as a plain chord symbol does."""
    bass_severity: Severity
    """How sure the claim about the bass is."""
    numeral: Numeral | None = None
    """Where the label is a numeral."""
    key: Key | None = None
    """The local key of a numeral."""

    @property
    def names_every_note(self) -> bool:
        """Whether an added sixth or ninth would make it another label.

        So for numerals; over chord symbols a tune may rest on such notes.
        """
        return self.key is not None

    @property
    def suspended(self) -> tuple[PitchName, ...]:
        """Notes that the label itself says are held over: the fourth of V(4-3)."""
        if self.numeral is None or self.key is None:
            return ()
        return self.numeral.suspended(self.key)

    def naming(self, chord: Chord, numeral: Numeral | None = None) -> "Reading":
        """The same label with another chord in it, to try what would fit."""
        bass = None if self.bass is None and not has_slash(chord) else chord.bass
        return replace(self, chord=chord, bass=bass, numeral=numeral)


def chord_readings(score: Score) -> Iterator[Reading]:
    """The chord line, label by label; gaps left out."""
    slashes = uses_slashes(score)
    for event in score.chords:
        if event.chord is not None and event.span is not None and event.duration:
            yield _chord_reading(event, event.chord, event.span, slashes=slashes)


def uses_slashes(score: Score) -> bool:
    """Whether the chord line says anywhere which note lies in the bass."""
    return any(event.chord is not None and has_slash(event.chord) for event in score.chords)


def has_slash(chord: Chord) -> bool:
    """Whether a chord names a bass that is not its root."""
    return chord.root is not None and chord.bass != chord.root


def numeral_readings(score: Score) -> Iterator[tuple[Reading, ...]]:
    """The numeral line, label by label, each with every reading its schools allow.

    The I7 of a blues is a dominant seventh, that of a textbook a major seventh; a label is right if
    one of its readings is.
    """
    figured = any(event.numeral is not None and event.numeral.inversion for event in score.numerals)
    for event in score.numerals:
        if event.numeral is None or event.key is None or event.span is None or not event.duration:
            continue
        chords = chords_of(event.numeral, event.key)
        if chords:
            yield tuple(
                _numeral_reading(event, chord, event.span, figured=figured) for chord in chords
            )


def chords_of(numeral: Numeral, key: Key) -> tuple[Chord, ...]:
    """Every chord a numeral may mean in a key; none where it has no meaning there."""
    try:
        return numeral.readings(key)
    except TheoryError:
        # A numeral without a meaning in its key is numeral-symbol's to report.
        return ()


def _chord_reading(event: ChordEvent, chord: Chord, span: Span, *, slashes: bool) -> Reading:
    """One chord symbol. Where the line uses slashes a plain symbol speaks of the bass too."""
    bass = chord.bass if slashes or has_slash(chord) else None
    severity = Severity.ERROR if has_slash(chord) else Severity.WARNING
    return Reading(chord, event.start, event.end, event.text, span, bass, severity)


def _numeral_reading(event: NumeralEvent, chord: Chord, span: Span, *, figured: bool) -> Reading:
    """One numeral. A line that never uses a figure of inversion may not mean the bass at all."""
    severity = Severity.ERROR if figured else Severity.WARNING
    return Reading(
        chord,
        event.start,
        event.end,
        event.text,
        span,
        chord.bass,
        severity,
        event.numeral,
        event.key,
    )
