"""Notes, rests and all that is written on them, in MusicXML."""

import xml.etree.ElementTree as ET
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.accidentals import HeadPlace, Sign, nearest_sign
from stavewright.figures.mei.drums import drum_place
from stavewright.figures.mei.layers import Sung
from stavewright.figures.mei.tree import add
from stavewright.figures.musicxml.attributes import TYPES
from stavewright.figures.musicxml.beams import Beams
from stavewright.figures.musicxml.context import Place, text
from stavewright.figures.musicxml.symbols import write_figures, write_marks, write_words
from stavewright.figures.timeline import TempoMap, shift_of
from stavewright.notation.score import (
    BassFigureEvent,
    Drum,
    Event,
    EventMark,
    Grace,
    Head,
    HeadMark,
    Silence,
    Tuplet,
    Voice,
)
from stavewright.theory import NoteValue, Pitch

_LETTERS: Final = "CDEFGAB"
_BOTTOM_LINE: Final = 4 * 7 + 2
"""E4, the bottom line of the treble clef, by which unpitched notes are placed."""
_HEADS: Final = {"x": "x", "diamond": "diamond", "+": "cross"}
_SIGNS: Final = {
    "tf": "triple-flat",
    "ff": "flat-flat",
    "3qf": "three-quarters-flat",
    "f": "flat",
    "1qf": "quarter-flat",
    "n": "natural",
    "1qs": "quarter-sharp",
    "s": "sharp",
    "3qs": "three-quarters-sharp",
    "x": "double-sharp",
    "ts": "triple-sharp",
}
"""MEI's names of printed signs to MusicXML's."""
_ARTICULATIONS: Final = {
    EventMark.ACCENT: "accent",
    EventMark.STACCATO: "staccato",
    EventMark.TENUTO: "tenuto",
}
_ORNAMENTS: Final = {
    EventMark.TRILL: "trill-mark",
    EventMark.TURN: "turn",
    EventMark.MORDENT: "mordent",
}


@dataclass(frozen=True, slots=True)
class VoiceWriter:
    """Writes the events of one voice, each into the measure it stands in."""

    voice: Voice
    index: int
    """Of the voice in the score."""
    number: int
    """Of the voice in its part, from 1."""
    part: str
    one_line: bool
    signs: dict[HeadPlace, Sign]
    sung: dict[tuple[int, int], list[Sung]]
    tempos: TempoMap
    beams: Beams
    bars: dict[int, list[int]]
    """Places of the events by bar."""
    figures: tuple[BassFigureEvent, ...] = ()
    """Those of the whole bass, where this is its voice."""

    def event(self, place: Place, at: int) -> None:
        """Write the event `at` where the place stands; a space is only stepped over."""
        event = self.voice.events[at]
        place.go(event.start)
        write_marks(place, event, self.number)
        self._cents(place, at)
        self._figures(place, event)
        if event.silence is Silence.SPACE:
            return
        for number, grace in enumerate(event.graces):
            self._grace(place, at, number, grace)
        if event.silence is Silence.REST:
            self._rest(place, at)
        for number in range(len(event.heads)):
            self._head(place, at, number)
        place.at = event.end

    def _cents(self, place: Place, at: int) -> None:
        """Figures for what no sign shows exactly, as over the staff."""
        for number, _ in enumerate(self.voice.events[at].heads):
            sign = self.signs.get(HeadPlace(self.index, at, number))
            if sign is not None and sign.cents:
                write_words(place, f"{sign.cents:+d} cents".replace("-", "−"))

    def _figures(self, place: Place, event: Event) -> None:
        """The figures under an event; they take their place from the note after them."""
        here = [each for each in self.figures if event.start <= each.start < event.end]
        while here and not here[-1].figures:
            here.pop()
        at = event.start
        for each in here:
            if each.start > at:
                write_figures(place, (), each.start - at)
            at = min(each.start + each.duration, event.end)
            write_figures(place, each.figures, at - each.start)

    def _rest(self, place: Place, at: int) -> None:
        event = self.voice.events[at]
        note = add(place.measure, "note")
        add(note, "rest", {"measure": "yes"} if event.fills_bar else None)
        text(note, "duration", place.context.count(event.duration))
        text(note, "voice", str(self.number))
        if event.value is not None:
            self._shape(note, at, event.value)
        self._notations(note, at, None)

    def _head(self, place: Place, at: int, number: int) -> None:
        event = self.voice.events[at]
        head = event.heads[number]
        note = add(place.measure, "note", self._shift(place, event, head))
        if number:
            add(note, "chord")
        here = HeadPlace(self.index, at, number)
        self._sound(note, head, here)
        text(note, "duration", place.context.count(event.duration))
        held = self._is_held(at, head)
        for is_here, kind in ((held, "stop"), (head.tied, "start")):
            if is_here:
                add(note, "tie", {"type": kind})
        self._instrument(note, head)
        text(note, "voice", str(self.number))
        self._shape(note, at, event.value or event.duration, self.signs.get(here))
        if place.context.is_bare:
            text(note, "stem", "none")
        self._notehead(note, head)
        if number == 0:
            for level, word in enumerate(self.beams.get(at, ()), 1):
                text(note, "beam", word, number=str(level))
        self._notations(note, at, head, held=held, is_first=number == 0)
        if number == 0:
            self._lyrics(note, at)

    def _grace(self, place: Place, at: int, number: int, grace: Grace) -> None:
        for index, head in enumerate(grace.heads):
            note = add(place.measure, "note")
            add(note, "grace")
            if index:
                add(note, "chord")
            here = HeadPlace(self.index, at, index, number)
            self._sound(note, head, here)
            self._instrument(note, head)
            text(note, "voice", str(self.number))
            _shape(note, grace.value, self.signs.get(here))
            self._notehead(note, head)

    def _shift(self, place: Place, event: Event, head: Head) -> dict[str, str | None] | None:
        """A shift as the format has it: how far beginning and end lie off the written time."""
        shift = shift_of(head, event.start, self.tempos)
        if not shift:
            return None
        count = f"{float(shift * 4 * place.context.divisions):.4f}".rstrip("0").rstrip(".")
        return {"attack": count, "release": count}

    def _sound(self, note: ET.Element, head: Head, here: HeadPlace) -> None:
        if isinstance(head.sound, Drum):
            position = drum_place(head.sound, one_line=self.one_line).position + _BOTTOM_LINE
            element = add(note, "unpitched")
            text(element, "display-step", _LETTERS[position % 7])
            text(element, "display-octave", str(position // 7))
            return
        sign = self.signs.get(here)
        _pitch(note, sign.pitch if sign else head.sound)

    def _instrument(self, note: ET.Element, head: Head) -> None:
        if isinstance(head.sound, Drum):
            add(note, "instrument", {"id": instrument_id(self.part, head.sound)})

    def _notehead(self, note: ET.Element, head: Head) -> None:
        is_ghost = HeadMark.GHOST in head.marks
        shape = None
        if isinstance(head.sound, Drum):
            shape = drum_place(head.sound, one_line=self.one_line).shape
        if is_ghost or shape:
            kind = _HEADS.get(shape or "", "normal")
            text(note, "notehead", kind, parentheses="yes" if is_ghost else "no")

    def _is_held(self, at: int, head: Head) -> bool:
        before = self.voice.events[at - 1].heads if at else ()
        return any(other.tied and other.sound == head.sound for other in before)

    def _groups(self, at: int) -> list[Tuplet]:
        return [group for group in self.voice.tuplets if group.first <= at <= group.last]

    def _shape(self, note: ET.Element, at: int, value: Fraction, sign: Sign | None = None) -> None:
        _shape(note, value, sign)
        groups = self._groups(at)
        if groups:
            actual = normal = 1
            for group in groups:
                actual, normal = actual * group.actual, normal * group.normal
            element = add(note, "time-modification")
            text(element, "actual-notes", str(actual))
            text(element, "normal-notes", str(normal))

    def _notations(
        self,
        note: ET.Element,
        at: int,
        head: Head | None,
        *,
        held: bool = False,
        is_first: bool = True,
    ) -> None:
        element = ET.Element("notations")
        for is_here, kind in ((held, "stop"), (head is not None and head.tied, "start")):
            if is_here:
                add(element, "tied", {"type": kind})
        if is_first:
            self._spans(element, at)
            _signs(element, self.voice.events[at])
        if EventMark.ARPEGGIO in self.voice.events[at].marks:
            add(element, "arpeggiate")
        if len(element):
            note.append(element)

    def _spans(self, element: ET.Element, at: int) -> None:
        for number, slur in enumerate(self.voice.slurs):
            for end, kind in ((slur.last, "stop"), (slur.first, "start")):
                if at == end:
                    # Only slurs that overlap need numbers apart.
                    add(element, "slur", {"type": kind, "number": str(number % 6 + 1)})
        for depth, group in enumerate(self._groups(at), 1):
            for end, kind in ((group.first, "start"), (group.last, "stop")):
                if at == end:
                    mark = add(element, "tuplet", {"type": kind, "number": str(min(depth, 6))})
                    if kind == "start" and depth > 1:
                        _tuplet_figures(mark, group)

    def _lyrics(self, note: ET.Element, at: int) -> None:
        for sung in self.sung.get((self.index, at), ()):
            lyric = add(note, "lyric", {"number": str(sung.verse)})
            kinds = {(False, False): "single", (True, False): "begin", (True, True): "middle"}
            text(lyric, "syllabic", kinds.get((sung.joined, sung.continues), "end"))
            text(lyric, "text", sung.text)
            if sung.held:
                add(lyric, "extend")


def instrument_id(part: str, drum: Drum) -> str:
    """The id of a percussion instrument in its part."""
    return f"{part}-I{drum.key_number}"


def _shape(note: ET.Element, value: Fraction, sign: Sign | None = None) -> None:
    shape = NoteValue.from_length(value)
    text(note, "type", TYPES[shape.base])
    for _ in range(shape.dots):
        add(note, "dot")
    if sign is not None and sign.written is not None:
        reminder = {}
        if sign.courtesy:
            brackets = "yes" if sign.bracketed else "no"
            reminder = {"cautionary": "yes", "parentheses": brackets}
        text(note, "accidental", _SIGNS[sign.written], **reminder)


def _pitch(note: ET.Element, pitch: Pitch) -> None:
    element = add(note, "pitch")
    text(element, "step", pitch.letter.name)
    if nearest_sign(pitch.cents_altered):
        # Any number is valid, but common readers refuse a file with more than quarter tones.
        text(element, "alter", f"{nearest_sign(pitch.cents_altered) / 100:g}")
    text(element, "octave", str(max(0, min(9, pitch.octave))))


def _signs(element: ET.Element, event: Event) -> None:
    for marks, tag in ((_ORNAMENTS, "ornaments"), (_ARTICULATIONS, "articulations")):
        here = [marks[mark] for mark in marks if mark in event.marks]
        if here:
            group = add(element, tag)
            for name in here:
                add(group, name)
    if EventMark.FERMATA in event.marks:
        add(element, "fermata")


def _tuplet_figures(mark: ET.Element, group: Tuplet) -> None:
    """What an inner group says of itself; the note tells only the product of all."""
    for tag, count in (("tuplet-actual", group.actual), ("tuplet-normal", group.normal)):
        text(add(mark, tag), "tuplet-number", str(count))
