"""A whole Score in words: one line that says what it is, and its bars."""

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from typing import Final, Protocol, TypeVar

from stavewright.figures.figure import SpokenText
from stavewright.figures.spoken.events import UNNAMED, bar_of_voice, voice_words
from stavewright.figures.spoken.places import bar_name
from stavewright.figures.spoken.symbols import (
    bass_figure_words,
    chord_event_words,
    numeral_event_words,
)
from stavewright.figures.spoken.tones import key_words, listed, value_words
from stavewright.notation.score import Bar, BarSign, Score, Swing, Tempo
from stavewright.theory.interval import Interval
from stavewright.theory.meter import Meter

_ORDINALS: Final = ("", "first", "second", "third", "fourth", "fifth", "sixth")


class _Timed(Protocol):
    """Anything that stands at a time."""

    @property
    def start(self) -> Fraction: ...


_T = TypeVar("_T", bound=_Timed)


def speak_staff(score: Score) -> SpokenText:
    """Say a Score as it stands on its staves. The Score has its notes written out."""
    bars = tuple(_bar_text(score, index) for index in range(len(score.bars)))
    return SpokenText(_line(score), tuple(bar for bar in bars if bar))


def _line(score: Score) -> str:
    """What the figure is, in one sentence."""
    facts = []
    key, meter = score.key_at(Fraction(0)), score.meter
    if key is not None:
        facts.append(f"in {key_words(key)}")
    if meter is not None:
        facts.append(f"in {meter_words(meter)} time")
    if score.tempo is not None:
        facts.append(f"at {tempo_words(score.tempo)}")
    if score.swing is not None:
        facts.append(swing_words(score.swing))
    if len(score.bars) > 1:
        facts.append(f"{len(score.bars)} bars")
    voices = [voice_words(voice) for voice in score.voices if voice.name not in UNNAMED]
    if len(voices) > 1:
        facts.append(f"for {listed(voices)}")
    facts += [
        f"{voice_words(voice)} {_transposed_words(voice.transposition)}"
        for voice in score.voices
        if voice.transposition is not None
    ]
    opening = f"{score.title.rstrip('.')}: staff notation" if score.title else "Staff notation"
    return ", ".join([opening, *facts]) + "."


def _transposed_words(interval: Interval) -> str:
    how = "lower" if interval.steps < 0 else "higher"
    name = (-interval if interval.steps < 0 else interval).name
    return f"printed {'an' if name[0] in 'aeiou' else 'a'} {name} {how} than it is said here"


def meter_words(meter: Meter) -> str:
    """A metre as it is said: `4/4`, `2+2+3/8`, `common`, `cut`."""
    return str(meter)


def tempo_words(tempo: Tempo) -> str:
    """A tempo: `quarter = 96`."""
    return f"{value_words(tempo.unit)} = {float(tempo.per_minute):g}"


def swing_words(swing: Swing) -> str:
    """A swing: `eighths swung 2 to 1`."""
    return f"{value_words(swing.unit)}s swung {float(swing.long):g} to {float(swing.short):g}"


def _bar_text(score: Score, index: int) -> str:
    """Everything in one bar, in the order it is read."""
    parts = [
        *before_bar(score, index),
        *_voices(score, index),
        *_symbols(score, index, score.chords, chord_event_words),
        *_symbols(score, index, score.numerals, numeral_event_words),
        *_symbols(score, index, score.bass_figures, bass_figure_words),
        *after_bar(score.bars[index]),
    ]
    if not parts:
        return ""
    name = bar_name(score, index)
    body = "; ".join(parts)
    return f"{name}: {body}." if name else f"{body[:1].upper()}{body[1:]}."


def _voices(score: Score, index: int) -> Iterator[str]:
    for voice in score.voices:
        words = bar_of_voice(score, voice, index)
        if not words:
            continue
        is_alone = len(score.voices) == 1 and voice.name in UNNAMED
        yield words if is_alone else f"{voice_words(voice)}, {words}"


def before_bar(score: Score, index: int) -> list[str]:
    """What changes at the beginning of a bar or inside it, and repeats that open."""
    bar = score.bars[index]
    end = bar.start + bar.length
    said = []
    if bar.ending and (index == 0 or score.bars[index - 1].ending != bar.ending):
        said.append(_ending_words(bar.ending))
    if bar.opening is BarSign.REPEAT_START:
        said.append("repeat begins")
    for when, words in sorted(_changes(score), key=lambda change: change[0]):
        inside = bar.start <= when < end
        if inside and not (index == 0 and when == 0):
            place = "" if when == bar.start else _beat(bar, when)
            said.append(f"{words}{place}")
    return said


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


def _ending_words(passes: tuple[int, ...]) -> str:
    names = [
        _ORDINALS[number] if number < len(_ORDINALS) else f"number {number}" for number in passes
    ]
    return f"{listed(names)} ending"


def after_bar(bar: Bar) -> list[str]:
    """The sign at the end of a bar."""
    return {BarSign.REPEAT_END: ["repeat ends"], BarSign.FINAL: ["end"]}.get(bar.closing, [])


def _symbols(
    score: Score, index: int, events: Sequence[_T], words: Callable[[_T], str]
) -> list[str]:
    """The symbols of one line that begin in a bar; their beats where they are not plain."""
    bar = score.bars[index]
    if bar.length == 0:
        here = [e for e in events if e.start == bar.start]
    else:
        here = [e for e in events if bar.start <= e.start < bar.start + bar.length]
    said = [(event, text) for event in here if (text := words(event))]
    keyed = [f"{text}{_beat(bar, event.start)}" for event, text in said]
    if len(said) == 1 and said[0][0].start == bar.start:
        keyed = [said[0][1]]
    return keyed


def _beat(bar: Bar, time: Fraction) -> str:
    """Where in a bar: ` on beat 3`, ` half-way through beat 2`; nothing without a metre."""
    if bar.meter is None:
        return ""
    full = bar.meter.length
    lead = full - bar.length if bar.number == 0 and bar.length < full else Fraction(0)
    position = (time - bar.start + lead) * bar.meter.unit
    beat, rest = int(position) + 1, position % 1
    if rest == 0:
        return f" on beat {beat}"
    if rest == Fraction(1, 2):
        return f" half-way through beat {beat}"
    return f" within beat {beat}"
