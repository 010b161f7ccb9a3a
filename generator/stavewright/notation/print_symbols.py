"""Writes the bars of chords, numerals and figured bass."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from stavewright.notation.labels import quoted
from stavewright.notation.limits import LONGEST_VALUE, SMALLEST_VALUE
from stavewright.notation.resolve_changes import Changes
from stavewright.notation.resolve_symbols import LocalKey
from stavewright.notation.score import (
    Bar,
    BassFigure,
    ChordEvent,
    NumeralEvent,
    Score,
    VoiceBar,
)
from stavewright.notation.sharing import shares
from stavewright.notation.values import show_value


@dataclass(frozen=True, slots=True)
class Written:
    """One symbol of a bar as it is to be written."""

    offset: Fraction
    duration: Fraction
    """Within its bar."""
    text: str
    after: str = ""
    """Words that follow it."""


def bar_events(bars: Sequence[VoiceBar], index: int, count: int) -> range:
    """The indices of a bar's events, of `count` in all."""
    end = bars[index + 1].first if index + 1 < len(bars) else count
    return range(bars[index].first, end)


def chord_entries(score: Score, moments: Mapping[Fraction, Sequence[str]]) -> list[list[Written]]:
    """What the chords line writes in each bar; gaps as `space`, split where a change stands."""
    covered = _covered(score.bars, score.chord_bars, score.chords)
    entries: list[list[Written]] = []
    for index, voice_bar in enumerate(score.chord_bars):
        events = bar_events(score.chord_bars, index, len(score.chords))
        start = score.bars[index].start
        written: list[Written] = []
        reached = Fraction(0)
        for at in events:
            event = score.chords[at]
            offset = event.start - start
            written += _gap(reached, offset, start, moments)
            duration = min(event.duration, voice_bar.length - offset)
            if at + 1 in events:
                duration = event.duration
            label = "" if event.label is None else quoted(event.label)
            written.append(Written(offset, duration, (event.text or "rest") + label))
            reached = offset + duration
        if events:
            written += _gap(reached, voice_bar.length, start, moments)
        elif index not in covered and _is_gap(score, index, moments):
            gap = _gap(reached, voice_bar.length, start, moments)
            written += gap or [Written(reached, Fraction(0), "space")]
        entries.append(written)
    return entries


def _is_gap(score: Score, index: int, moments: Iterable[Fraction]) -> bool:
    """Whether a bar without chords was silent, rather than empty."""
    started = score.chord_bars[index].first > 0
    differs = score.chord_bars[index].length != score.bars[index].length
    bar = score.bars[index]
    changes = any(bar.start < at <= bar.start + bar.length for at in moments)
    return started or differs or changes or not _length_is_known(score, index)


def _gap(
    start: Fraction, end: Fraction, bar_start: Fraction, moments: Mapping[Fraction, Sequence[str]]
) -> list[Written]:
    if start >= end:
        return []
    inner = sorted(at - bar_start for at in moments if start < at - bar_start < end)
    return [Written(a, b - a, "space") for a, b in pairwise((start, *inner, end))]


def _covered(
    bars: Sequence[Bar], voice_bars: Sequence[VoiceBar], events: Sequence[ChordEvent]
) -> set[int]:
    """The empty bars that continue the chord before them."""
    covered: set[int] = set()
    for index, voice_bar in enumerate(voice_bars):
        here = bar_events(voice_bars, index, len(events))
        if not here:
            continue
        event = events[here[-1]]
        offset = event.start - bars[index].start
        own = min(event.duration, voice_bar.length - offset)
        run = event.duration - max(own, bars[index].length - offset)
        following = index + 1
        while following < len(voice_bars) and run >= bars[following].length:
            covered.add(following)
            run -= bars[following].length
            following += 1
    return covered


def numeral_entries(score: Score) -> list[list[Written]]:
    """What the numerals line writes in each bar, local keys and pivots included."""
    local = LocalKey(score.key, Changes(keys=score.key_changes))
    entries: list[list[Written]] = []
    for index, voice_bar in enumerate(score.numeral_bars):
        written = []
        events = bar_events(score.numeral_bars, index, len(score.numerals))
        for at in events:
            event = score.numerals[at]
            offset = event.start - score.bars[index].start
            duration = event.duration
            if at + 1 not in events:
                duration = min(duration, voice_bar.length - offset)
            before, after = _key_words(event, local)
            label = "" if event.label is None else quoted(event.label)
            text = before + (event.text or "rest") + label
            written.append(Written(offset, duration, text, after))
        entries.append(written)
    return entries


def _key_words(event: NumeralEvent, local: LocalKey) -> tuple[str, str]:
    local.reset(event.start)
    before = after = ""
    if event.key is not None and event.key != local.key:
        before = f"key({event.key}) "
        local.key = event.key
    if event.pivot is not None and event.pivot_key is not None:
        after = f"key({event.pivot_key})={event.pivot.text}"
        local.key = event.pivot_key
    return before, after


class SymbolWriter:
    """Writes a line of symbols bar by bar, without values where the bar is shared out."""

    def __init__(
        self,
        score: Score,
        bars: Sequence[VoiceBar],
        entries: Sequence[Sequence[Written]],
        model: Sequence[Sequence[Written]],
        changes: Mapping[Fraction, Sequence[str]],
    ) -> None:
        self.score = score
        self.bars = bars
        self.entries = entries
        self.model = model
        """The chords, whose values numerals take."""
        self.changes = dict(changes)

    def count(self) -> int:
        """How many bars it has."""
        return len(self.bars)

    def bar(self, index: int) -> str:
        """Write a bar."""
        entries = self.entries[index]
        valued = not self._is_shared(index)
        start = self.score.bars[index].start
        words: list[str] = []
        value: Fraction | None = None
        for entry in entries:
            words += self.changes.pop(start + entry.offset, ())
            if valued and entry.duration != value:
                words.append(show_value(entry.duration))
                value = entry.duration
            words += [entry.text, entry.after] if entry.after else [entry.text]
        end = start + (self.bars[index].length if entries else 0)
        words += self.changes.pop(end, ())
        return " ".join(words)

    def _is_shared(self, index: int) -> bool:
        """Whether the bar's symbols last as they would if no value were said."""
        durations = tuple(entry.duration for entry in self.entries[index])
        bar = self.score.bars[index]
        if not durations or not all(map(_is_sayable, durations)):
            return True
        if not _length_is_known(self.score, index):
            return False
        model = self.model[index] if index < len(self.model) else ()
        if len(model) == len(durations):
            return durations == tuple(entry.duration for entry in model)
        # Symbols that cannot share the beats stand evenly spread, with a finding; so they stay.
        even = (bar.length / len(durations),) * len(durations)
        return durations == (shares(len(durations), bar) or even)


def _length_is_known(score: Score, index: int) -> bool:
    """Whether the bar would be as long if the lines of symbols said no values."""
    bar = score.bars[index]
    if bar.meter is not None and bar.length == bar.meter.length:
        return True
    if index == 0 and score.pickup is not None and bar.meter is not None:
        return True
    return voices_in_bar(score, index)


def _is_sayable(duration: Fraction) -> bool:
    return 0 < duration <= LONGEST_VALUE and duration.denominator <= SMALLEST_VALUE


def music_in_bar(score: Score, index: int) -> bool:
    """Whether something else than a rest that fills the bar says how long an unmeasured bar is."""
    for bars, count in (
        (score.chord_bars, len(score.chords)),
        (score.numeral_bars, len(score.numerals)),
    ):
        if index < len(bars) and bars[index].length and bar_events(bars, index, count):
            return True
    return voices_in_bar(score, index)


def voices_in_bar(score: Score, index: int) -> bool:
    """Whether a voice has music in a bar, which says how long the bar is."""
    for voice in score.voices:
        if index < len(voice.bars):
            events = bar_events(voice.bars, index, len(voice.events))
            if any(voice.events[at].duration and not voice.events[at].fills_bar for at in events):
                return True
    return False


class FigureWriter:
    """Writes figured bass bar by bar, without values where it follows the notes of the bass."""

    def __init__(self, score: Score) -> None:
        self.score = score

    def count(self) -> int:
        """How many bars it has."""
        return len(self.score.bass_figure_bars)

    def bar(self, index: int) -> str:
        """Write a bar."""
        here = bar_events(self.score.bass_figure_bars, index, len(self.score.bass_figures))
        events = [self.score.bass_figures[at] for at in here]
        if not self.score.bass_figure_bars[index].length:
            return " ".join(_figures(event.figures) for event in events)
        words = []
        value = None
        for event in events:
            if event.duration != value:
                words.append(show_value(event.duration))
                value = event.duration
            words.append(_figures(event.figures))
        return " ".join(words)


def _figures(figures: Sequence[BassFigure]) -> str:
    texts = [f"{each.accidental}{each.number or ''}" for each in figures]
    return "&".join(texts) or "rest"
