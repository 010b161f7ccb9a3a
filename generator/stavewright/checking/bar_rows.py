"""Every line of a block that is written bar by bar: its voices, and what is said above and below.

An empty bar of a line of symbols continues the symbol before it and is as long as its bar; figures
that follow the notes of the bass have no lengths of their own.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from stavewright.checking.words import counted
from stavewright.notation.score import Score, Voice, VoiceBar
from stavewright.notation.source import Span


@dataclass(frozen=True, slots=True)
class BarRow:
    """One voice, or one line of symbols, bar by bar."""

    name: str
    """As a sentence calls it: `left`, `the chords`."""
    bars: tuple[VoiceBar, ...]
    voice: Voice | None = None
    """None for a line of symbols."""

    @property
    def counted(self) -> str:
        """`left has two bars`, `the chords have one bar`."""
        verb = "have" if self.name.startswith("the ") else "has"
        return f"{self.name} {verb} {counted(len(self.bars), 'bar')}"

    def wrong_bars(self, score: Score) -> Iterator[int]:
        """The bars in which the row does not add up, as indices."""
        for at, (bar, written) in enumerate(zip(score.bars, self.bars, strict=False)):
            if bar.expected is None or bar.expected == written.length:
                continue
            follows_the_notes = self.voice is None and not written.length
            if not follows_the_notes:
                yield at

    def span_from(self, index: int) -> Span | None:
        """Where the first bar from an index on is written that has anything in it."""
        return next((bar.span for bar in self.bars[index:] if bar.span is not None), None)


def voice_rows(score: Score) -> tuple[BarRow, ...]:
    """The voices, in the order of the staves."""
    return tuple(BarRow(_called(voice), voice.bars, voice) for voice in score.voices)


def _called(voice: Voice) -> str:
    return f"the {voice.name}" if voice.name in ("notes", "drums") else voice.name


def chord_row(score: Score) -> BarRow:
    """The chord line; without bars where there is none."""
    return BarRow("the chords", score.chord_bars)


def numeral_row(score: Score) -> BarRow:
    """The numerals; without bars where there are none."""
    return BarRow("the numerals", score.numeral_bars)


def symbol_rows(score: Score) -> tuple[BarRow, ...]:
    """The lines of symbols that are written, the chords first."""
    figures = BarRow("the figures", score.bass_figure_bars)
    return tuple(row for row in (chord_row(score), numeral_row(score), figures) if row.bars)
