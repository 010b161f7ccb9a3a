"""Every line of a block that is written bar by bar: its voices, and what is said above and below.

An empty bar of a line of symbols continues the symbol before it and is as long as its bar; figures
that follow the notes of the bass have no lengths of their own.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from stavewright.checking.this_score import ThisScore
from stavewright.checking.words import counted
from stavewright.notation.score import Score, Voice, VoiceBar
from stavewright.notation.source import Span


@dataclass(frozen=True, slots=True)
class BarRow:
    """One voice, or one line of symbols, bar by bar."""

    name: str
    """As a sentence calls it: `left`, `the chords`."""
    bars: tuple[VoiceBar, ...]
    wrong_bars: tuple[int, ...]
    """The bars in which the row does not add up, as indices."""
    voice: Voice | None = None
    """None for a line of symbols."""

    @property
    def counted(self) -> str:
        """`left has two bars`, `the chords have one bar`."""
        verb = "have" if self.name.startswith("the ") else "has"
        return f"{self.name} {verb} {counted(len(self.bars), 'bar')}"

    def span_from(self, index: int) -> Span | None:
        """Where the first bar from an index on is written that has anything in it."""
        return next((bar.span for bar in self.bars[index:] if bar.span is not None), None)


@dataclass(frozen=True, slots=True)
class BarRows:
    """All the rows of a score."""

    voices: tuple[BarRow, ...]
    """In the order of the staves."""
    chords: BarRow
    """Without bars where there is none, as the others."""
    numerals: BarRow
    figures: BarRow

    @property
    def symbols(self) -> tuple[BarRow, ...]:
        """The lines of symbols that are written, the chords first."""
        return tuple(row for row in (self.chords, self.numerals, self.figures) if row.bars)


def bar_rows(score: Score) -> BarRows:
    """Take a score apart into its rows."""
    return _bar_rows(ThisScore(score))


# Several rules ask, one after the other; only the last score is kept.
@lru_cache(maxsize=1)
def _bar_rows(this: ThisScore) -> BarRows:
    score = this.score

    def row(name: str, bars: tuple[VoiceBar, ...], voice: Voice | None = None) -> BarRow:
        return BarRow(name, bars, tuple(_wrong_bars(score, bars, voice)), voice)

    return BarRows(
        tuple(row(_called(voice), voice.bars, voice) for voice in score.voices),
        row("the chords", score.chord_bars),
        row("the numerals", score.numeral_bars),
        row("the figures", score.bass_figure_bars),
    )


def _wrong_bars(score: Score, bars: tuple[VoiceBar, ...], voice: Voice | None) -> Iterator[int]:
    for at, (bar, written) in enumerate(zip(score.bars, bars, strict=False)):
        if bar.expected is None or bar.expected == written.length:
            continue
        follows_the_notes = voice is None and not written.length
        if not follows_the_notes:
            yield at


def _called(voice: Voice) -> str:
    return f"the {voice.name}" if voice.name in ("notes", "drums") else voice.name
