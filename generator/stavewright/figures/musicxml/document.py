"""A whole MusicXML document: MusicXML 4.0 (W3C Music Notation Community Group, 2021), partwise.

Each staff is a part. Kept: pitches with their cents, note values and groups, ties, slurs, repeats
and endings, keys, metres, clefs, tempos and swing, transposition, percussion with its instruments,
chord symbols, syllables, signs, dynamics and labels; shifts as `attack` and `release`. Numerals are
words after the name of a new local key, and so are cents that are no quarter tones; chord symbols
of a transposing part are as it reads them. Left out: marks of emphasis, labels of single heads, and
what `show:` names.
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.drums import is_one_line
from stavewright.figures.mei.markup import attributes
from stavewright.figures.mei.sheet import Sheet
from stavewright.figures.musicxml.attributes import attribute_times, write_attributes, write_tempo
from stavewright.figures.musicxml.beams import beams_of
from stavewright.figures.musicxml.context import Context, Place, divisions_of
from stavewright.figures.musicxml.markup import element, leaf
from stavewright.figures.musicxml.notes import VoiceWriter, instrument_id
from stavewright.figures.musicxml.over import over_bars
from stavewright.figures.musicxml.timed import is_bare, timed
from stavewright.figures.timeline import TempoMap
from stavewright.notation.score import Bar, BarSign, Drum, Score

_DECLARATION: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)
_STYLES: Final = {
    BarSign.DOUBLE: "light-light",
    BarSign.FINAL: "light-heavy",
    BarSign.REPEAT_END: "light-heavy",
}


def musicxml_file(sheet: Sheet) -> bytes:
    """The document of a score that is not `is_mixed`."""
    score = sheet.score
    bare = is_bare(score) and any(event.heads for v in score.voices for event in v.events)
    if bare:
        sheet = Sheet.of(timed(score))
    context = Context(sheet.score, divisions_of(sheet.score), bare)
    parts = [_part(context, sheet, staff) for staff in range(len(score.staves))]
    root = element("score-partwise", ' version="4.0"', _head(score) + "".join(parts))
    return f"{_DECLARATION}{root}\n".encode()


def _part_id(staff: int) -> str:
    return f"P{staff + 1}"


def _head(score: Score) -> str:
    head = ""
    if score.title:
        head += element("work", inside=leaf("work-title", score.title))
    about = "".join(leaf("creator", line) for line in score.credits)
    if score.rights:
        about += leaf("rights", score.rights)
    if score.sources:
        about += leaf("source", score.sources[0])
    if about:
        head += element("identification", inside=about)
    parts = [_score_part(score, staff) for staff in range(len(score.staves))]
    return head + element("part-list", inside="".join(parts))


def _score_part(score: Score, staff: int) -> str:
    """A part in the list of parts, with its percussion instruments."""
    part = _part_id(staff)
    inside = leaf("part-name", " ".join(score.staves[staff].voices))
    drums = [(f' id="{instrument_id(part, drum)}"', drum) for drum in _drums(score, staff)]
    for own, drum in drums:
        name = leaf("instrument-name", drum.name.replace("-", " "))
        inside += element("score-instrument", own, name)
    for own, drum in drums:
        # MIDI's numbers from 0 are counted from 1 here.
        number = leaf("midi-unpitched", str(drum.key_number + 1))
        inside += element("midi-instrument", own, leaf("midi-channel", "10") + number)
    return element("score-part", f' id="{part}"', inside)


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


def _part(context: Context, sheet: Sheet, staff: int) -> str:
    score = context.score
    one_line = is_one_line(score, staff)
    here = [place for place, voice in enumerate(score.voices) if voice.staff == staff]
    tempos = TempoMap.of(score)
    writers = [
        VoiceWriter(
            voice=score.voices[i],
            index=i,
            number=n,
            part=_part_id(staff),
            one_line=one_line,
            signs=sheet.signs,
            sung=sheet.sung,
            tempos=tempos,
            beams=beams_of(score, sheet.strands[i]),
            figures=score.bass_figures if i == _bass(score) and not context.is_bare else (),
            bars=sheet.strands[i].bars,
        )
        for n, i in enumerate(here, 1)
    ]
    changes = attribute_times(score, staff)
    over = over_bars(score) if staff == 0 else {}
    measures = []
    for index, bar in enumerate(score.bars):
        place = Place(context, bar.start)
        _attributes(place, staff, index, changes)
        if staff == 0 and index == 0:
            write_tempo(place, score.tempo, score.swing)
        for each in over.get(index, ()):
            place.go(each.at)
            each.write(place)
        place.go(bar.start)
        measures.append(_measure(place, index, writers))
    return element("part", f' id="{_part_id(staff)}"', "".join(measures))


def _bass(score: Score) -> int:
    """The voice that a figured bass stands under: the lowest."""
    return max(range(len(score.voices)), key=lambda place: (score.voices[place].staff, place))


def _measure(place: Place, index: int, writers: Sequence[VoiceWriter]) -> str:
    """A measure, of which what stands over it is written."""
    score = place.context.score
    bar = score.bars[index]
    is_part = bar.meter is not None and bar.length != bar.meter.length
    goes_on = index > 0 and score.bars[index - 1].number == bar.number
    given = {
        "number": f"X{index}" if goes_on else str(bar.number),
        "implicit": "yes" if is_part or goes_on else None,
    }
    for writer in writers:
        for at in writer.bars.get(index, ()):
            writer.event(place, at)
    _fill(place, bar.start, bar.length)
    inside = _left(score, index) + place.written + _right(score, index)
    return element("measure", attributes(given), inside)


def _fill(place: Place, start: Fraction, length: Fraction) -> None:
    """A measure lasts to its end even where every voice has stopped."""
    if not place.has_notes and length:
        place.go(start)
        duration = leaf("duration", place.context.count(length))
        place.add_note(element("rest", ' measure="yes"') + duration, ' print-object="no"')
        place.at = start + length
    place.go(start + length)


def _attributes(place: Place, staff: int, index: int, changes: Sequence[Fraction]) -> None:
    """What holds for a staff at the beginning of the music, and what changes in a measure."""
    bar = place.context.score.bars[index]
    if index == 0:
        write_attributes(place, staff, is_first=True)
        changes = [time for time in changes if time != bar.start]
    end = bar.start + bar.length if changes else bar.start
    for time in changes:
        if bar.start <= time < end or time == bar.start:
            place.go(time)
            write_attributes(place, staff, is_first=False)


def _left(score: Score, index: int) -> str:
    bar = score.bars[index]
    before = score.bars[index - 1] if index else None
    is_again = before is not None and before.closing is BarSign.REPEAT_END
    begins = bool(bar.ending) and (before is None or before.ending != bar.ending or is_again)
    repeats = bar.opening is BarSign.REPEAT_START
    if not begins and not repeats:
        return ""
    inside = leaf("bar-style", "heavy-light") if repeats else ""
    if begins:
        inside += _ending(bar, "start")
    if repeats:
        inside += element("repeat", ' direction="forward"')
    return element("barline", ' location="left"', inside)


def _right(score: Score, index: int) -> str:
    bar = score.bars[index]
    after = score.bars[index + 1] if index + 1 < len(score.bars) else None
    repeats = bar.closing is BarSign.REPEAT_END
    stops = bool(bar.ending) and (after is None or after.ending != bar.ending or repeats)
    if bar.closing is BarSign.SINGLE and not stops:
        return ""
    inside = leaf("bar-style", _STYLES[bar.closing]) if bar.closing in _STYLES else ""
    if stops:
        inside += _ending(bar, "stop" if repeats else "discontinue")
    if repeats:
        inside += element("repeat", ' direction="backward"')
    return element("barline", ' location="right"', inside)


def _ending(bar: Bar, kind: str) -> str:
    """The beginning or the end of an ending's bracket."""
    return element("ending", f' number="{", ".join(map(str, bar.ending))}" type="{kind}"')
