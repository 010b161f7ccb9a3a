"""Turns pieces that music21 has read into music blocks.

What a block can say is carried over: pitches, note values, ties, groups in a ratio, grace notes,
bar signs with repeats, pickups, changes of key and metre, chord symbols, Roman numerals. Words,
slurs, articulation and dynamics are left out. What a block cannot say (a group inside a group, a
value that no ties can show) raises `CannotConvertError`, so that a piece is either whole or not
counted.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_QUARTER = Fraction(1, 4)
_FINEST = 768
"""Parts of a quarter in which music21's floating lengths are read back as exact fractions."""


class CannotConvertError(Exception):
    """The piece holds something that a block cannot say, or that the reader could not read."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece as a block."""

    name: str
    text: str
    bars: int
    line_bars: tuple[int, ...]
    """For each line of the text the number of its bar, counted from 1; 0 for fields."""

    def bar_of(self, line: int) -> int:
        """The bar that a line of the text (from 1) belongs to."""
        return self.line_bars[line - 1]


@dataclass(frozen=True, slots=True)
class _Item:
    """One event, written out: its text without a value, the printed value, its ratio."""

    text: str
    value: Fraction
    ratio: tuple[int, int] | None = None

    @property
    def length(self) -> Fraction:
        return self.value if self.ratio is None else self.value * self.ratio[1] / self.ratio[0]


def block_of(
    name: str, music: Any, *, key: str, numerals: Any = None, symbols: bool = True
) -> Piece:
    """Write a whole piece as a block: one written line for each bar of each voice.

    Without `symbols` what stands over the notes is taken for fingerings and directions.
    """
    parts = list(music.parts) or [music]
    bars = [_bars(part) for part in parts]
    if not bars[0] or len({len(row) for row in bars}) != 1:
        raise CannotConvertError("its parts have different numbers of bars")
    lines = [(field, 0) for field in _fields(len(parts), bars[0], key, name)]
    names = _voice_names(len(parts))
    signs = _bar_signs(bars)
    for voice, row in zip(names, bars, strict=True):
        lines += _voice_lines(voice, row, signs)
    if symbols:
        lines += _symbol_lines("chords", _chord_symbols(bars[0]), bars[0])
    if numerals is not None:
        lines += _symbol_lines("numerals", _numerals(numerals, key), bars[0])
    text = "\n".join(line for line, _ in lines) + "\n"
    return Piece(name, text, len(bars[0]), tuple(bar for _, bar in lines))


def exact(quarters: Any) -> Fraction:
    """A length in quarters as a part of a whole note."""
    return Fraction(quarters).limit_denominator(_FINEST) * _QUARTER


def spelled(name: str) -> str:
    """A note's name in our signs: a flat is a b."""
    return name.replace("-", "b")


def _voice_names(count: int) -> list[str]:
    if count == 1:
        return ["notes"]
    if count == 4:
        return ["soprano", "alto", "tenor", "bass"]
    return [f"part{number}" for number in range(1, count + 1)]


@dataclass(frozen=True, slots=True)
class _Bar:
    """One bar of one part: a measure, or two that the encoding parts without a bar line."""

    measures: tuple[Any, ...]

    @property
    def first(self) -> Any:
        return self.measures[0]

    @property
    def left(self) -> Any:
        return self.first.leftBarline

    @property
    def right(self) -> Any:
        return self.measures[-1].rightBarline

    @property
    def start(self) -> Fraction:
        return exact(self.first.offset)

    @property
    def length(self) -> Fraction:
        return exact(sum(measure.quarterLength for measure in self.measures))

    @property
    def whole(self) -> Fraction:
        """What the metre asks for."""
        return exact(self.first.barDuration.quarterLength)


def _bars(part: Any) -> list[_Bar]:
    """The bars of a part; a measure `8a` goes on with bar 8 unless a sign stands between them."""
    found: list[_Bar] = []
    for measure in part.getElementsByClass("Measure"):
        goes_on = measure.numberSuffix is not None and bool(found)
        if goes_on and found[-1].right is None and measure.leftBarline is None:
            found[-1] = _Bar((*found[-1].measures, measure))
        else:
            found.append(_Bar((measure,)))
    return found


def _fields(count: int, bars: Sequence[_Bar], key: str, title: str) -> list[str]:
    fields = [f"title: {title}"]
    if key:
        fields.append(f"key: {key}")
    meter = bars[0].first.timeSignature
    if meter is None:
        raise CannotConvertError("it names no metre")
    fields.append(f"time: {meter.ratioString}")
    if 0 < bars[0].length < bars[0].whole and len(bars) > 1 and not _is_split(bars):
        fields.append(f"pickup: {bars[0].length}")
    names = _voice_names(count)
    if count == 4:
        fields.append("staves: treble(soprano alto) bass(tenor bass)")
    elif count > 1:
        fields.append("staves: " + " ".join(f"treble({name})" for name in names))
    return fields


def _is_split(bars: Sequence[_Bar]) -> bool:
    """Whether the first bar is one of two parts round a repeat sign."""
    adds_up = bars[0].length + bars[1].length == bars[0].whole
    return adds_up and (_repeats(bars[0].right) or _repeats(bars[1].left))


def _repeats(barline: Any) -> bool:
    return barline is not None and "Repeat" in barline.classes


def _bar_signs(rows: Sequence[Sequence[_Bar]]) -> list[str]:
    """The sign before each bar, and the one after the last."""
    count = len(rows[0])
    closes = [any(_is_repeat(row[at].right, "end") for row in rows) for at in range(count)]
    opens = [any(_is_repeat(row[at].left, "start") for row in rows) for at in range(count)]
    doubles = [any(_is_double(row[at].right) for row in rows) for at in range(count)]
    signs = ["|:" if opens[0] else ""]
    for at in range(count):
        opened = at + 1 < count and opens[at + 1]
        sign = ":|:" if closes[at] and opened else ":|" if closes[at] else "|:" if opened else "|"
        signs.append("||" if sign == "|" and doubles[at] else sign)
    return signs


def _is_repeat(barline: Any, direction: str) -> bool:
    return _repeats(barline) and barline.direction == direction


def _is_double(barline: Any) -> bool:
    return barline is not None and barline.type in ("double", "final")


def _voice_lines(
    voice: str, bars: Sequence[_Bar], signs: Sequence[str]
) -> Iterator[tuple[str, int]]:
    """One line for each bar; a change of metre stands at the head of its bar."""
    for at, bar in enumerate(bars):
        words = [signs[0]] if at == 0 and signs[0] else []
        words += _endings(bar.first)
        if at and bar.first.timeSignature is not None:
            words.append(f"time({bar.first.timeSignature.ratioString})")
        items = [item for measure in bar.measures for item in _items(measure)]
        silent = all(item.text == "rest" for item in items)
        words += ["rest"] if silent and bar.length == bar.whole else _written(items)
        yield f"{voice}: {' '.join([*words, signs[at + 1]])}", at + 1


def _endings(bar: Any) -> list[str]:
    for bracket in bar.getSpannerSites("RepeatBracket"):
        if bracket.isFirst(bar):
            passes = " ".join(re.findall(r"\d+", str(bracket.number)))
            return [f"ending({passes})"]
    return []


def _items(bar: Any) -> Iterator[_Item]:
    """The events of a bar, in order, without gaps."""
    if list(bar.voices):
        raise CannotConvertError("a bar holds two voices on one staff")
    at, graces = Fraction(0), ""
    for note in bar.notesAndRests:
        if "ChordSymbol" in note.classes:
            continue
        if note.duration.isGrace:
            graces += f"grace(1/8 {_heads(note)}) "
            continue
        start = exact(note.offset)
        if start > at:
            yield from _split("space", start - at)
        if start < at:
            raise CannotConvertError("notes overlap within a voice")
        for item in _note_items(note):
            yield _Item(graces + item.text, item.value, item.ratio)
            graces = ""
        at = start + exact(note.quarterLength)


def _note_items(note: Any) -> Iterator[_Item]:
    tuplets = note.duration.tuplets
    if len(tuplets) > 1:
        raise CannotConvertError("a group stands inside another group")
    length = exact(note.quarterLength)
    ratio = None
    if tuplets:
        ratio = (tuplets[0].numberNotesActual, tuplets[0].numberNotesNormal)
        length = length * ratio[0] / ratio[1]
    text = "rest" if note.isRest else _heads(note)
    ties = not note.isRest and _ties_on(note)
    yield from _split(text, length, ratio, ties=ties)


def _heads(note: Any) -> str:
    pitches = note.pitches
    if not pitches:
        raise CannotConvertError("a note without a pitch")
    return "&".join(f"{spelled(pitch.name)}{pitch.octave}" for pitch in pitches)


def _ties_on(note: Any) -> bool:
    return note.tie is not None and note.tie.type in ("start", "continue")


def _split(
    text: str, length: Fraction, ratio: tuple[int, int] | None = None, *, ties: bool = False
) -> Iterator[_Item]:
    """A length as values that a note shape can show, tied where there are several."""
    values = list(_shapes(length))
    for at, value in enumerate(values):
        held = text not in ("rest", "space") and (ties or at + 1 < len(values))
        mark = "_" if held and "&" not in text else ""
        written = f"({text})_" if held and "&" in text else text + mark
        yield _Item(written, value, ratio)


def _shapes(length: Fraction) -> Iterator[Fraction]:
    """Plain and dotted values, the longest first."""
    while length > 0:
        value = Fraction(1)
        while value > length:
            value /= 2
        if value.denominator > 256:
            raise CannotConvertError(f"a length of {length} that no ties can show")
        dotted = value * 3 / 2
        value = dotted if dotted <= length else value
        yield value
        length -= value


def _written(items: Sequence[_Item]) -> list[str]:
    """Events as text: values said where they change, groups in their brackets."""
    words: list[str] = []
    value: Fraction | None = None
    at = 0
    while at < len(items):
        item = items[at]
        if item.ratio is None:
            words += [_fraction(item.value)] if item.value != value else []
            value = item.value
            words.append(item.text)
            at += 1
            continue
        end = _group_end(items, at)
        inner = " ".join(_written([_Item(i.text, i.value) for i in items[at:end]]))
        words.append(f"{item.ratio[0]}:{item.ratio[1]}({inner})")
        at = end
    return words


def _fraction(value: Fraction) -> str:
    """A note value as a block writes it; whole notes are 1/1."""
    return f"{value.numerator}/{value.denominator}"


def _group_end(items: Sequence[_Item], first: int) -> int:
    """The index after the last event of the group that begins here.

    A group is complete when what it holds is `actual` of some plain note value.
    """
    ratio = items[first].ratio
    assert ratio is not None
    filled = Fraction(0)
    smallest = items[first].value
    for at in range(first, len(items)):
        if items[at].ratio != ratio:
            break
        filled += items[at].value
        smallest = min(smallest, items[at].value)
        unit = filled / ratio[0]
        if unit.numerator == 1 and unit.denominator.bit_count() == 1 and unit >= smallest:
            return at + 1
    raise CannotConvertError("a group in a ratio that is not complete")


# --- chord symbols and numerals -------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Label:
    start: Fraction
    """From the beginning of the piece."""
    text: str
    change: str = ""
    """`key(…)`, where a local key begins with the label."""


def _chord_symbols(bars: Sequence[_Bar]) -> list[_Label]:
    found = []
    for bar in bars:
        for measure in bar.measures:
            for symbol in measure.getElementsByClass("ChordSymbol"):
                start = exact(measure.offset) + exact(symbol.offset)
                found.append(_Label(start, _symbol(symbol.figure)))
    return found


def _symbol(figure: str) -> str:
    """A chord symbol in our signs; some collections write the bass small, its sharp as +."""
    text = spelled(figure).replace(" ", "")
    body, slash, bass = text.partition("/")
    bass = bass.replace("+", "#")
    return body + slash + bass[:1].upper() + bass[1:]


def _numerals(part: Any, named: str) -> list[_Label]:
    """Published numerals in our signs: no stroke between figures, ø for their /o."""
    found: list[_Label] = []
    local = named
    for label in part.recurse().getElementsByClass("RomanNumeral"):
        text = re.sub(r"(\d)/(?=\d)", r"\1", label.figure.replace("/o", "ø"))
        text = "rest" if "[" in text else text
        key = f"{spelled(label.key.tonic.name)} {label.key.mode}".replace("  ", " ")
        key = key[0].upper() + key[1:]
        start = exact(label.getOffsetInHierarchy(part))
        if found and start <= found[-1].start:
            continue
        found.append(_Label(start, text, f"key({key})" if key != local else ""))
        local = key
    return found


def _symbol_lines(
    word: str, labels: Sequence[_Label], bars: Sequence[_Bar]
) -> Iterator[tuple[str, int]]:
    """One line for each bar; a label that runs over a bar line is written again after it."""
    if not labels:
        return
    current: _Label | None = None
    start = Fraction(0)
    for number, bar in enumerate(bars, 1):
        end = start + bar.length
        here = [label for label in labels if start <= label.start < end]
        if not here or here[0].start > start:
            carried = current.text if current is not None else "rest"
            here = [_Label(start, carried), *here]
        words = []
        stops = [*(label.start for label in here[1:]), end]
        for label, stop in zip(here, stops, strict=True):
            change = [label.change] if label.change else []
            words += [*change, _fraction(stop - label.start), label.text]
        yield f"{word}: {' '.join(words)} |", number
        current = here[-1]
        start = end
