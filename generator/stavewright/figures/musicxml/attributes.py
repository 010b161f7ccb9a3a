"""Keys, metres, clefs, transposition and tempo in MusicXML."""

from fractions import Fraction
from typing import Final

from stavewright.figures.mei.signatures import printed_key
from stavewright.figures.mei.staves import clef_at, staff_interval
from stavewright.figures.musicxml.context import Place
from stavewright.figures.musicxml.markup import element, leaf
from stavewright.notation.clefs import CLEFS
from stavewright.notation.score import Score, Swing, Tempo
from stavewright.theory import Interval, Key, Meter, NoteValue
from stavewright.theory.note_value import MOST_DOTS

_TYPES: Final = {
    Fraction(2): "breve",
    Fraction(1): "whole",
    Fraction(1, 2): "half",
    Fraction(1, 4): "quarter",
    Fraction(1, 8): "eighth",
    Fraction(1, 16): "16th",
    Fraction(1, 32): "32nd",
    Fraction(1, 64): "64th",
    Fraction(1, 128): "128th",
    Fraction(1, 256): "256th",
}
_SHAPES: Final = [NoteValue(base, dots) for base in _TYPES for dots in range(MOST_DOTS + 1)]
_ELEMENTS: Final = {
    shape.length.as_integer_ratio(): leaf("type", _TYPES[shape.base]) + element("dot") * shape.dots
    for shape in _SHAPES
}
"""By numerator and denominator: a Fraction is slow to look up."""


def shape_elements(value: Fraction) -> str:
    """The type of a note of some value, and its dots; the value must be that of a single note."""
    return _ELEMENTS[value.numerator, value.denominator]


def write_attributes(place: Place, staff: int, *, is_first: bool) -> None:
    """What holds for a staff from this moment on, as far as it begins here."""
    score, time = place.context.score, place.at
    interval = staff_interval(score, staff)
    inside = leaf("divisions", str(place.context.divisions)) if is_first else ""
    key = score.key_at(time)
    if key is not None and (is_first or any(c.at == time for c in score.key_changes)):
        inside += _key(key, interval)
    if is_first or any(change.at == time for change in score.meter_changes):
        inside += _time(_meter_at(score, time))
    if is_first or any(c.at == time and c.staff == staff for c in score.clef_changes):
        inside += _clef(clef_at(score, staff, time))
    if is_first:
        inside += _transpose(interval)
    if inside:
        place.add(element("attributes", inside=inside))


def write_tempo(place: Place, tempo: Tempo | None, swing: Swing | None) -> None:
    """A metronome mark, and how the eighths are swung."""
    if tempo is None and swing is None:
        return
    if tempo is None:
        mark = leaf("words", "swing")
    elif tempo.unit.as_integer_ratio() in _ELEMENTS:
        mark = _metronome(tempo)
    else:
        mark = leaf("words", f"{tempo.unit} = {float(tempo.per_minute):.6g}")
    pace = ""
    if tempo is not None:
        quarters = tempo.per_minute * tempo.unit * 4
        pace = f' tempo="{float(quarters):.6g}"'
    is_swung = swing is not None and swing.unit in (Fraction(1, 8), Fraction(1, 16))
    sound = element("sound", pace, _swing(swing) if swing is not None and is_swung else "")
    kind = element("direction-type", inside=mark)
    place.add(element("direction", ' placement="above"', kind + sound))


def attribute_times(score: Score, staff: int) -> list[Fraction]:
    """The moments at which something changes on a staff, in order."""
    keys = {change.at for change in score.key_changes}
    meters = {change.at for change in score.meter_changes}
    clefs = {change.at for change in score.clef_changes if change.staff == staff}
    return sorted(keys | meters | clefs)


def _metronome(tempo: Tempo) -> str:
    unit = NoteValue.from_length(tempo.unit)
    beat = leaf("beat-unit", _TYPES[unit.base]) + element("beat-unit-dot") * unit.dots
    return element("metronome", inside=beat + leaf("per-minute", f"{float(tempo.per_minute):.6g}"))


def _swing(swing: Swing) -> str:
    ratio = swing.long / swing.short
    first, second = leaf("first", str(ratio.numerator)), leaf("second", str(ratio.denominator))
    return element("swing", inside=first + second + leaf("swing-type", _TYPES[swing.unit]))


def _key(key: Key, transposition: Interval | None) -> str:
    printed = printed_key(key, transposition) or key
    inside = leaf("fifths", str(printed.signature)) + leaf("mode", printed.mode.value)
    return element("key", inside=inside)


def _time(meter: Meter | None) -> str:
    if meter is None:
        return element("time", ' print-object="no"', element("senza-misura"))
    symbol = f' symbol="{meter.symbol.value}"' if meter.symbol else ""
    beats = leaf("beats", "+".join(map(str, meter.groups)))
    return element("time", symbol, beats + leaf("beat-type", str(meter.unit)))


def _clef(name: str) -> str:
    clef = CLEFS[name]
    if clef.sign == "perc":
        inside = leaf("sign", "percussion")
    else:
        inside = leaf("sign", clef.sign) + leaf("line", str(clef.line))
    if clef.octaves:
        inside += leaf("clef-octave-change", str(clef.octaves))
    return element("clef", inside=inside)


def _transpose(interval: Interval | None) -> str:
    """From what is written to what sounds, the octaves apart."""
    if interval is None:
        return ""
    octaves = int(-interval.steps / 7)
    inside = leaf("diatonic", str(-interval.steps - 7 * octaves))
    inside += leaf("chromatic", f"{-interval.cents / 100 - 12 * octaves:g}")
    if octaves:
        inside += leaf("octave-change", str(octaves))
    return element("transpose", inside=inside)


def _meter_at(score: Score, time: Fraction) -> Meter | None:
    here = [bar.meter for bar in score.bars if bar.start <= time]
    return here[-1] if here else score.meter
