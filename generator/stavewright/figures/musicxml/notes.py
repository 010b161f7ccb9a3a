"""Notes, rests and all that is written on them, in MusicXML."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import prod
from typing import Final

from stavewright.figures.mei.accidentals import HeadPlace, Sign, nearest_sign
from stavewright.figures.mei.drums import drum_place
from stavewright.figures.mei.lyrics import Sung
from stavewright.figures.mei.markup import attributes
from stavewright.figures.musicxml.attributes import shape_elements
from stavewright.figures.musicxml.beams import Beams
from stavewright.figures.musicxml.context import Place
from stavewright.figures.musicxml.markup import element, leaf
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
from stavewright.theory import Pitch

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
    signs: Mapping[HeadPlace, Sign]
    sung: Mapping[tuple[int, int], Sequence[Sung]]
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
        signs = [
            self.signs.get(HeadPlace(self.index, at, number)) for number in range(len(event.heads))
        ]
        _write_cents(place, signs)
        if self.figures:
            self._figures(place, event)
        if event.silence is Silence.SPACE:
            return
        for number, grace in enumerate(event.graces):
            self._grace(place, at, number, grace)
        if event.silence is Silence.REST:
            self._rest(place, at)
        self._heads(place, at, signs)
        place.at = event.end

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
        rest = element("rest", ' measure="yes"' if event.fills_bar else "")
        shape = self._shape(at, event.value) if event.value is not None else ""
        place.add_note(
            rest
            + leaf("duration", place.context.count(event.duration))
            + leaf("voice", str(self.number))
            + shape
            + self._notations(at)
        )

    def _heads(self, place: Place, at: int, signs: Sequence[Sign | None]) -> None:
        """The notes of an event; what is the event's own stands with the first."""
        event = self.voice.events[at]
        duration = leaf("duration", place.context.count(event.duration))
        voice = leaf("voice", str(self.number))
        stem = leaf("stem", "none") if place.context.is_bare else ""
        for number, (head, sign) in enumerate(zip(event.heads, signs, strict=True)):
            is_first = number == 0
            ties = self._ties(at, head)
            inside = (
                ("" if is_first else element("chord"))
                + self._sound(head, sign)
                + duration
                + "".join([element("tie", kind) for kind in ties])
                + self._instrument(head)
                + voice
                + self._shape(at, event.value or event.duration, sign)
                + stem
                + self._notehead(head)
                + (self._beams(at) if is_first else "")
                + self._notations(at, ties, is_first=is_first)
                + (self._lyrics(at) if is_first else "")
            )
            place.add_note(inside, self._shift(place, event, head))

    def _grace(self, place: Place, at: int, number: int, grace: Grace) -> None:
        for index, head in enumerate(grace.heads):
            sign = self.signs.get(HeadPlace(self.index, at, index, number))
            place.add_note(
                element("grace")
                + (element("chord") if index else "")
                + self._sound(head, sign)
                + self._instrument(head)
                + leaf("voice", str(self.number))
                + _shape(grace.value, sign)
                + self._notehead(head)
            )

    def _shift(self, place: Place, event: Event, head: Head) -> str:
        """A shift as the format has it: how far beginning and end lie off the written time."""
        shift = shift_of(head, event.start, self.tempos) if head.shift else None
        if not shift:
            return ""
        count = f"{float(shift * 4 * place.context.divisions):.4f}".rstrip("0").rstrip(".")
        return f' attack="{count}" release="{count}"'

    def _sound(self, head: Head, sign: Sign | None) -> str:
        if isinstance(head.sound, Drum):
            position = drum_place(head.sound, one_line=self.one_line).position + _BOTTOM_LINE
            step = leaf("display-step", _LETTERS[position % 7])
            octave = leaf("display-octave", str(position // 7))
            return element("unpitched", inside=step + octave)
        return _pitch(sign.pitch if sign else head.sound)

    def _instrument(self, head: Head) -> str:
        if not isinstance(head.sound, Drum):
            return ""
        return element("instrument", attributes({"id": instrument_id(self.part, head.sound)}))

    def _notehead(self, head: Head) -> str:
        is_ghost = HeadMark.GHOST in head.marks
        shape = None
        if isinstance(head.sound, Drum):
            shape = drum_place(head.sound, one_line=self.one_line).shape
        if not is_ghost and not shape:
            return ""
        kind = _HEADS.get(shape or "", "normal")
        return leaf("notehead", kind, f' parentheses="{"yes" if is_ghost else "no"}"')

    def _beams(self, at: int) -> str:
        told = self.beams.get(at, ())
        return "".join(
            [leaf("beam", word, f' number="{level}"') for level, word in enumerate(told, 1)]
        )

    def _ties(self, at: int, head: Head) -> list[str]:
        """Whether a tie ends at a head and whether one begins, as attributes of its elements."""
        before = self.voice.events[at - 1].heads if at else ()
        held = [other for other in before if other.tied and other.sound == head.sound]
        return [' type="stop"'] * bool(held) + [' type="start"'] * head.tied

    def _groups(self, at: int) -> list[Tuplet]:
        return [group for group in self.voice.tuplets if group.first <= at <= group.last]

    def _shape(self, at: int, value: Fraction, sign: Sign | None = None) -> str:
        shape = _shape(value, sign)
        groups = self._groups(at)
        if not groups:
            return shape
        actual = leaf("actual-notes", str(prod(group.actual for group in groups)))
        normal = leaf("normal-notes", str(prod(group.normal for group in groups)))
        return shape + element("time-modification", inside=actual + normal)

    def _notations(self, at: int, ties: Sequence[str] = (), *, is_first: bool = True) -> str:
        marks = self.voice.events[at].marks
        inside = "".join([element("tied", kind) for kind in ties])
        if is_first:
            inside += self._slurs(at) + self._tuplets(at) + _signs(marks)
        if EventMark.ARPEGGIO in marks:
            inside += element("arpeggiate")
        return element("notations", inside=inside) if inside else ""

    def _slurs(self, at: int) -> str:
        ends = [
            (number, kind)
            for number, slur in enumerate(self.voice.slurs)
            for end, kind in ((slur.last, "stop"), (slur.first, "start"))
            if at == end
        ]
        # Only slurs that overlap need numbers apart.
        slurs = [element("slur", f' type="{kind}" number="{n % 6 + 1}"') for n, kind in ends]
        return "".join(slurs)

    def _tuplets(self, at: int) -> str:
        text = ""
        for depth, group in enumerate(self._groups(at), 1):
            for end, kind in ((group.first, "start"), (group.last, "stop")):
                if at == end:
                    figures = _tuplet_figures(group) if kind == "start" and depth > 1 else ""
                    text += element("tuplet", f' type="{kind}" number="{min(depth, 6)}"', figures)
        return text

    def _lyrics(self, at: int) -> str:
        return "".join(map(_lyric, self.sung.get((self.index, at), ())))


def _write_cents(place: Place, signs: Sequence[Sign | None]) -> None:
    """Figures for what no sign shows exactly, as over the staff."""
    for sign in signs:
        if sign is not None and sign.cents:
            write_words(place, f"{sign.cents:+d} cents".replace("-", "−"))


def _lyric(sung: Sung) -> str:
    kinds = {(False, False): "single", (True, False): "begin", (True, True): "middle"}
    kind = leaf("syllabic", kinds.get((sung.joined, sung.continues), "end"))
    inside = kind + leaf("text", sung.text) + (element("extend") if sung.held else "")
    return element("lyric", f' number="{sung.verse}"', inside)


def instrument_id(part: str, drum: Drum) -> str:
    """The id of a percussion instrument in its part."""
    return f"{part}-I{drum.key_number}"


def _shape(value: Fraction, sign: Sign | None) -> str:
    """The type of a note, its dots and the accidental before it."""
    text = shape_elements(value)
    if sign is None or sign.written is None:
        return text
    reminder = ""
    if sign.courtesy:
        reminder = f' cautionary="yes" parentheses="{"yes" if sign.bracketed else "no"}"'
    return text + leaf("accidental", _SIGNS[sign.written], reminder)


@lru_cache(maxsize=256)  # figures share a few dozen
def _pitch(pitch: Pitch) -> str:
    # Any number is valid, but common readers refuse a file with more than quarter tones.
    cents = nearest_sign(pitch.cents_altered)
    alter = leaf("alter", f"{cents / 100:g}") if cents else ""
    octave = leaf("octave", str(max(0, min(9, pitch.octave))))
    return element("pitch", inside=leaf("step", pitch.letter) + alter + octave)


def _signs(marks: frozenset[EventMark]) -> str:
    if not marks:
        return ""
    text = ""
    for names, tag in ((_ORNAMENTS, "ornaments"), (_ARTICULATIONS, "articulations")):
        here = "".join(element(names[mark]) for mark in names if mark in marks)
        if here:
            text += element(tag, inside=here)
    return text + (element("fermata") if EventMark.FERMATA in marks else "")


def _tuplet_figures(group: Tuplet) -> str:
    """What an inner group says of itself; the note tells only the product of all."""
    counts = (("tuplet-actual", group.actual), ("tuplet-normal", group.normal))
    return "".join(element(tag, inside=leaf("tuplet-number", str(count))) for tag, count in counts)
