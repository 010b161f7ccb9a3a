"""Keys, metres, clefs, transposition and tempo in MusicXML."""

import xml.etree.ElementTree as ET
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.signatures import printed_key
from stavewright.figures.mei.staves import staff_interval
from stavewright.figures.mei.tree import add
from stavewright.figures.musicxml.context import Place, text
from stavewright.notation.clefs import CLEFS
from stavewright.notation.score import Score, Swing, Tempo
from stavewright.theory import Interval, Key, Meter, NoteValue
from stavewright.theory.note_value import MOST_DOTS

TYPES: Final = {
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
_SHAPES: Final = {NoteValue(base, dots).length for base in TYPES for dots in range(MOST_DOTS + 1)}
"""What a metronome mark can count."""


def write_attributes(place: Place, staff: int, *, is_first: bool) -> None:
    """What holds for a staff from this moment on, as far as it begins here."""
    score, time = place.context.score, place.at
    element = ET.Element("attributes")
    if is_first:
        text(element, "divisions", str(place.context.divisions))
    key = score.key_at(time)
    if key is not None and (is_first or any(c.at == time for c in score.key_changes)):
        _key(element, key, staff_interval(score, staff))
    meter = _meter_at(score, time)
    if is_first or any(change.at == time for change in score.meter_changes):
        _time(element, meter)
    clef = _clef_at(score, staff, time)
    if is_first or any(c.at == time and c.staff == staff for c in score.clef_changes):
        _clef(element, clef)
    if is_first:
        _transpose(element, staff_interval(score, staff))
    if len(element):
        place.measure.append(element)


def write_tempo(place: Place, tempo: Tempo | None, swing: Swing | None) -> None:
    """A metronome mark, and how the eighths are swung."""
    if tempo is None and swing is None:
        return
    direction = add(place.measure, "direction", {"placement": "above"})
    kind = add(direction, "direction-type")
    if tempo is None:
        text(kind, "words", "swing")
    elif tempo.unit in _SHAPES:
        _metronome(kind, tempo)
    else:
        text(kind, "words", f"{tempo.unit} = {float(tempo.per_minute):.6g}")
    sound = add(direction, "sound")
    if tempo is not None:
        quarters = tempo.per_minute * tempo.unit * 4
        sound.set("tempo", f"{float(quarters):.6g}")
    if swing is not None and swing.unit in (Fraction(1, 8), Fraction(1, 16)):
        _swing(add(sound, "swing"), swing)


def attribute_times(score: Score, staff: int) -> set[Fraction]:
    """The moments at which something changes on a staff."""
    keys = {change.at for change in score.key_changes}
    meters = {change.at for change in score.meter_changes}
    clefs = [change.at for change in score.clef_changes if change.staff == staff]
    return keys | meters | set(clefs)


def _metronome(parent: ET.Element, tempo: Tempo) -> None:
    mark = add(parent, "metronome")
    unit = NoteValue.from_length(tempo.unit)
    text(mark, "beat-unit", TYPES[unit.base])
    for _ in range(unit.dots):
        add(mark, "beat-unit-dot")
    text(mark, "per-minute", f"{float(tempo.per_minute):.6g}")


def _swing(element: ET.Element, swing: Swing) -> None:
    ratio = swing.long / swing.short
    text(element, "first", str(ratio.numerator))
    text(element, "second", str(ratio.denominator))
    text(element, "swing-type", TYPES[swing.unit])


def _key(parent: ET.Element, key: Key, transposition: Interval | None) -> None:
    printed = printed_key(key, transposition) or key
    element = add(parent, "key")
    text(element, "fifths", str(printed.signature))
    text(element, "mode", printed.mode.value)


def _time(parent: ET.Element, meter: Meter | None) -> None:
    if meter is None:
        element = add(parent, "time", {"print-object": "no"})
        add(element, "senza-misura")
        return
    element = add(parent, "time", {"symbol": meter.symbol.value} if meter.symbol else None)
    text(element, "beats", "+".join(map(str, meter.groups)))
    text(element, "beat-type", str(meter.unit))


def _clef(parent: ET.Element, name: str) -> None:
    clef = CLEFS[name]
    element = add(parent, "clef")
    text(element, "sign", "percussion" if clef.sign == "perc" else clef.sign)
    if clef.sign != "perc":
        text(element, "line", str(clef.line))
    if clef.octaves:
        text(element, "clef-octave-change", str(clef.octaves))


def _transpose(parent: ET.Element, interval: Interval | None) -> None:
    """From what is written to what sounds, the octaves apart."""
    if interval is None:
        return
    octaves = int(-interval.steps / 7)
    element = add(parent, "transpose")
    text(element, "diatonic", str(-interval.steps - 7 * octaves))
    text(element, "chromatic", f"{-interval.cents / 100 - 12 * octaves:g}")
    if octaves:
        text(element, "octave-change", str(octaves))


def _meter_at(score: Score, time: Fraction) -> Meter | None:
    here = [bar.meter for bar in score.bars if bar.start <= time]
    return here[-1] if here else score.meter


def _clef_at(score: Score, staff: int, time: Fraction) -> str:
    changes = [c.clef for c in score.clef_changes if c.staff == staff and c.at <= time]
    return changes[-1] if changes else score.staves[staff].clef
