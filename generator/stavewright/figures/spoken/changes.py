"""What changes inside a score, in words: its key, metre and tempo, and the clefs of its staves."""

from collections.abc import Iterator
from fractions import Fraction

from stavewright.figures.spoken.events import voice_words
from stavewright.figures.spoken.tones import key_words, listed, value_words
from stavewright.notation.score import Score, Tempo
from stavewright.theory.meter import Meter


def meter_words(meter: Meter) -> str:
    """A metre as it is said: `4/4`, `2+2+3/8`, `common`, `cut`."""
    return str(meter)


def tempo_words(tempo: Tempo) -> str:
    """A tempo: `quarter = 96`."""
    return f"{value_words(tempo.unit)} = {float(tempo.per_minute):g}"


def changes_in(score: Score) -> list[tuple[Fraction, str]]:
    """When each change comes, in order, and its words."""
    return sorted(_changes(score), key=lambda change: change[0])


def _changes(score: Score) -> Iterator[tuple[Fraction, str]]:
    for key in score.key_changes:
        yield key.at, f"the key changes to {key_words(key.key)}"
    for meter in score.meter_changes:
        yield meter.at, f"the time changes to {meter_words(meter.meter)}"
    for tempo in score.tempo_changes:
        yield tempo.at, f"the tempo changes to {tempo_words(tempo.tempo)}"
    for clef in score.clef_changes:
        voices = [v for v in score.voices if v.staff == clef.staff]
        name = listed([voice_words(voice) for voice in voices]) or "the staff"
        yield clef.at, f"{clef.clef} clef for {name}"
