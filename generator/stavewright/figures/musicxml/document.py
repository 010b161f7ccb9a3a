"""A whole MusicXML document: MusicXML 4.0 (W3C Music Notation Community Group, 2021), partwise.

Each staff is a part. Kept: pitches with their cents, note values and groups, ties, slurs, repeats
and endings, keys, metres, clefs, tempos and swing, transposition, percussion with its instruments,
chord symbols, syllables, signs, dynamics and labels; shifts as `attack` and `release`. Numerals are
words after the name of a new local key, and so are cents that are no quarter tones; chord symbols
of a transposing part are as it reads them. Left out: marks of emphasis, labels of single heads, and
what `show:` names.
"""

import xml.etree.ElementTree as ET
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.accidentals import HeadPlace, Sign, printed_signs
from stavewright.figures.mei.drums import is_one_line
from stavewright.figures.mei.layers import Sung
from stavewright.figures.mei.lyrics import sung_syllables
from stavewright.figures.mei.staves import staff_interval
from stavewright.figures.mei.strands import places_by_bar
from stavewright.figures.mei.tree import add
from stavewright.figures.mei.tree import written as as_text
from stavewright.figures.musicxml.attributes import attribute_times, write_attributes, write_tempo
from stavewright.figures.musicxml.beams import beams_of
from stavewright.figures.musicxml.context import Context, Place, divisions_of, text
from stavewright.figures.musicxml.notes import VoiceWriter, instrument_id
from stavewright.figures.musicxml.symbols import write_chord, write_numeral
from stavewright.figures.musicxml.timed import is_bare, timed
from stavewright.figures.timeline import TempoMap
from stavewright.notation.score import BarSign, Drum, Score

_HEAD: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
_STYLES: Final = {
    BarSign.DOUBLE: "light-light",
    BarSign.FINAL: "light-heavy",
    BarSign.REPEAT_END: "light-heavy",
}


def musicxml_file(score: Score) -> bytes:
    """The document of a Score that `mei.fault_in` finds nothing against, its notes written out.

    The Score must not be `is_mixed`.
    """
    bare = is_bare(score) and any(event.heads for v in score.voices for event in v.events)
    written = timed(score) if bare else score
    context = Context(written, divisions_of(written), bare)
    root = ET.Element("score-partwise", {"version": "4.0"})
    _head(root, written)
    signs, sung = printed_signs(written), sung_syllables(written)
    for staff in range(len(written.staves)):
        _part(add(root, "part", {"id": _part_id(staff)}), context, staff, signs, sung)
    return f"{_HEAD}{as_text(root, indented=True)}\n".encode()


def _part_id(staff: int) -> str:
    return f"P{staff + 1}"


def _head(root: ET.Element, score: Score) -> None:
    if score.title:
        text(add(root, "work"), "work-title", score.title)
    if score.credits or score.rights or score.sources:
        about = add(root, "identification")
        for line in score.credits:
            text(about, "creator", line)
        if score.rights:
            text(about, "rights", score.rights)
        for line in score.sources:
            text(about, "source", line)
            break
    parts = add(root, "part-list")
    for staff, row in enumerate(score.staves):
        part = add(parts, "score-part", {"id": _part_id(staff)})
        text(part, "part-name", " ".join(row.voices))
        drums = _drums(score, staff)
        for drum in drums:
            instrument = add(part, "score-instrument", {"id": instrument_id(_part_id(staff), drum)})
            text(instrument, "instrument-name", drum.name.replace("-", " "))
        for drum in drums:
            sound = add(part, "midi-instrument", {"id": instrument_id(_part_id(staff), drum)})
            text(sound, "midi-channel", "10")
            # MIDI's numbers from 0 are counted from 1 here.
            text(sound, "midi-unpitched", str(drum.key_number + 1))


def _drums(score: Score, staff: int) -> list[Drum]:
    found = {
        head.sound
        for voice in score.voices
        if voice.staff == staff
        for event in voice.events
        for head in (*event.heads, *(head for grace in event.graces for head in grace.heads))
        if isinstance(head.sound, Drum)
    }
    return sorted(found, key=lambda drum: drum.key_number)


def _part(
    part: ET.Element,
    context: Context,
    staff: int,
    signs: dict[HeadPlace, Sign],
    sung: dict[tuple[int, int], list[Sung]],
) -> None:
    score = context.score
    one_line = is_one_line(score, staff)
    here = [place for place, voice in enumerate(score.voices) if voice.staff == staff]
    tempos = TempoMap.of(score)
    writers = [
        VoiceWriter(
            voice=score.voices[i],
            index=i,
            number=n,
            part=part.get("id", ""),
            one_line=one_line,
            signs=signs,
            sung=sung,
            tempos=tempos,
            beams=beams_of(score, i),
            figures=score.bass_figures if i == _bass(score) and not context.is_bare else (),
            bars=places_by_bar(score.voices[i].events),
        )
        for n, i in enumerate(here, 1)
    ]
    for index in range(len(score.bars)):
        _measure(part, context, staff, index, writers)


def _bass(score: Score) -> int:
    """The voice that a figured bass stands under: the lowest."""
    return max(range(len(score.voices)), key=lambda place: (score.voices[place].staff, place))


def _measure(
    part: ET.Element, context: Context, staff: int, index: int, writers: list[VoiceWriter]
) -> None:
    score = context.score
    bar = score.bars[index]
    is_part = bar.meter is not None and bar.length != bar.meter.length
    goes_on = index > 0 and score.bars[index - 1].number == bar.number
    number = f"X{index}" if goes_on else str(bar.number)
    measure = add(
        part, "measure", {"number": number, "implicit": "yes" if is_part or goes_on else None}
    )
    _left(measure, score, index)
    place = Place(context, measure, bar.start)
    _above(place, staff, index)
    for writer in writers:
        for at in writer.bars.get(index, ()):
            writer.event(place, at)
    _fill(place, bar.start, bar.length)
    _right(measure, score, index)


def _fill(place: Place, start: Fraction, length: Fraction) -> None:
    """A measure lasts to its end even where every voice has stopped."""
    sounds = place.measure.find("note") is not None
    if not sounds and length:
        place.go(start)
        note = add(place.measure, "note", {"print-object": "no"})
        add(note, "rest", {"measure": "yes"})
        text(note, "duration", place.context.count(length))
        place.at = start + length
    place.go(start + length)


def _above(place: Place, staff: int, index: int) -> None:
    """What stands over a measure: attributes for every staff, the rest over the top one."""
    score = place.context.score
    bar = score.bars[index]
    end = bar.start + bar.length
    is_last = index + 1 == len(score.bars)
    times = {bar.start} if index == 0 else set()
    times |= attribute_times(score, staff)
    for time in sorted(t for t in times if bar.start <= t < end or (t == bar.start)):
        place.go(time)
        write_attributes(place, staff, is_first=index == 0 and time == bar.start)
    if staff:
        return
    if index == 0:
        write_tempo(place, score.tempo, score.swing)
    for change in score.tempo_changes:
        if bar.start <= change.at < end:
            place.go(change.at)
            write_tempo(place, change.tempo, None)
    for chord in score.chords:
        if bar.start <= chord.start < end or (is_last and chord.start == end):
            place.go(chord.start)
            write_chord(place, chord, staff_interval(score, staff))
    key = score.key
    for numeral in score.numerals:
        if bar.start <= numeral.start < end:
            place.go(numeral.start)
            write_numeral(place, numeral, key)
        key = numeral.pivot_key or numeral.key or key
    place.go(bar.start)


def _left(measure: ET.Element, score: Score, index: int) -> None:
    bar = score.bars[index]
    before = score.bars[index - 1] if index else None
    is_again = before is not None and before.closing is BarSign.REPEAT_END
    begins = bool(bar.ending) and (before is None or before.ending != bar.ending or is_again)
    repeats = bar.opening is BarSign.REPEAT_START
    if not begins and not repeats:
        return
    line = add(measure, "barline", {"location": "left"})
    if repeats:
        text(line, "bar-style", "heavy-light")
    if begins:
        add(line, "ending", {"number": _passes(bar.ending), "type": "start"})
    if repeats:
        add(line, "repeat", {"direction": "forward"})


def _right(measure: ET.Element, score: Score, index: int) -> None:
    bar = score.bars[index]
    after = score.bars[index + 1] if index + 1 < len(score.bars) else None
    repeats = bar.closing is BarSign.REPEAT_END
    stops = bool(bar.ending) and (after is None or after.ending != bar.ending or repeats)
    if bar.closing is BarSign.SINGLE and not stops:
        return
    line = add(measure, "barline", {"location": "right"})
    if bar.closing in _STYLES:
        text(line, "bar-style", _STYLES[bar.closing])
    if stops:
        kind = "stop" if repeats else "discontinue"
        add(line, "ending", {"number": _passes(bar.ending), "type": kind})
    if repeats:
        add(line, "repeat", {"direction": "backward"})


def _passes(ending: tuple[int, ...]) -> str:
    return ", ".join(map(str, ending))
