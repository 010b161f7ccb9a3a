"""A whole Score in words: one line that says what it is, and its bars."""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Final

from stavewright.figures.figure import SpokenText
from stavewright.figures.spoken.changes import meter_words, tempo_words
from stavewright.figures.spoken.events import UNNAMED, voice_words
from stavewright.figures.spoken.places import bar_name
from stavewright.figures.spoken.reading import Reading, Remark
from stavewright.figures.spoken.tones import key_words, listed, value_words
from stavewright.notation.score import Bar, BarSign, Score, Swing
from stavewright.theory.interval import Interval

_ORDINALS: Final = ("", "first", "second", "third", "fourth", "fifth", "sixth")


def speak_staff(score: Score, reading: Reading | None = None) -> SpokenText:
    """Say a Score as it stands on its staves. The Score has its notes written out.

    `reading` is the score's own, if it is at hand; it is not worked out again then.
    """
    reading = reading or Reading.of(score)
    bars = tuple(_bar_text(reading, index) for index in range(len(score.bars)))
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


def swing_words(swing: Swing) -> str:
    """A swing: `eighths swung 2 to 1`."""
    return f"{value_words(swing.unit)}s swung {float(swing.long):g} to {float(swing.short):g}"


def _bar_text(reading: Reading, index: int) -> str:
    """Everything in one bar, in the order it is read."""
    score = reading.score
    parts = [*before_bar(reading, index), *_voices(reading, index)]
    for line in reading.lines:
        parts += _symbols(reading, index, line)
    parts += after_bar(score.bars[index])
    if not parts:
        return ""
    name = bar_name(score, index)
    body = "; ".join(parts)
    return f"{name}: {body}." if name else f"{body[:1].upper()}{body[1:]}."


def _voices(reading: Reading, index: int) -> Iterator[str]:
    for voice, told in groupby(reading.events.get(index, ()), key=lambda each: each.voice):
        words = ", ".join(each.words for each in told if each.words)
        if words:
            yield words if reading.goes_unnamed else f"{reading.names[voice]}, {words}"


def before_bar(reading: Reading, index: int) -> list[str]:
    """What changes at the beginning of a bar or inside it, and repeats that open."""
    bars = reading.score.bars
    bar = bars[index]
    start, end = reading.limits[index]
    said = []
    if bar.ending and (index == 0 or bars[index - 1].ending != bar.ending):
        said.append(_ending_words(bar.ending))
    if bar.opening is BarSign.REPEAT_START:
        said.append("repeat begins")
    for change in reading.changes:
        if start <= change.at < end and not (index == 0 and change.at == 0):
            place = "" if change.at == start else _beat(reading, index, change.at)
            said.append(f"{change.words}{place}")
    return said


def _ending_words(passes: tuple[int, ...]) -> str:
    names = [
        _ORDINALS[number] if number < len(_ORDINALS) else f"number {number}" for number in passes
    ]
    return f"{listed(names)} ending"


def after_bar(bar: Bar) -> list[str]:
    """The sign at the end of a bar."""
    if bar.closing is BarSign.REPEAT_END:
        return ["repeat ends"]
    return ["end"] if bar.closing is BarSign.FINAL else []


def _symbols(reading: Reading, index: int, line: Sequence[Remark]) -> list[str]:
    """The symbols of one line that begin in a bar; their beats where they are not plain."""
    start, end = reading.limits[index]
    said = [
        symbol
        for symbol in line
        if symbol.words and (start <= symbol.at < end or start == symbol.at == end)
    ]
    if len(said) == 1 and said[0].at == start:
        return [said[0].words]
    return [f"{symbol.words}{_beat(reading, index, symbol.at)}" for symbol in said]


def _beat(reading: Reading, index: int, time: int) -> str:
    """Where in a bar: ` on beat 3`, ` half-way through beat 2`; nothing without a metre."""
    bar = reading.score.bars[index]
    if bar.meter is None:
        return ""
    start, end = reading.limits[index]
    full = reading.count(bar.meter.length)
    lead = full - (end - start) if bar.number == 0 and end - start < full else 0
    beat, rest = divmod((time - start + lead) * bar.meter.unit, reading.parts)
    if rest == 0:
        return f" on beat {beat + 1}"
    if 2 * rest == reading.parts:
        return f" half-way through beat {beat + 1}"
    return f" within beat {beat + 1}"
