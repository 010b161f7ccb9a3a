"""Signs that hang on notes: ties, slurs, ornaments, fermatas, dynamics, tempo."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.anchors import Anchors
from stavewright.figures.mei.ids import head_id
from stavewright.figures.mei.markup import Attributes, attributes, decimal, element, escaped
from stavewright.figures.mei.strands import Item, Strand
from stavewright.notation.score import EventMark, Score, Swing, Tempo, Voice
from stavewright.theory.errors import TheoryError
from stavewright.theory.note_value import NoteValue

_NOTES: Final = {
    Fraction(1): "\U0001d15d",
    Fraction(1, 2): "\U0001d15e",
    Fraction(1, 4): "♩",
    Fraction(1, 8): "♪",
    Fraction(1, 16): "\U0001d161",
}
"""Unicode's notes; the signs' font draws those that a text face may lack."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One element of a measure that hangs on notes."""

    segment: int
    tag: str
    attributes: Attributes
    text: str = ""

    @property
    def markup(self) -> str:
        """The element as it stands in its measure."""
        return element(self.tag, attributes(self.attributes), escaped(self.text))


def all_marks(score: Score, strands: tuple[Strand, ...], anchors: Anchors) -> dict[int, list[Mark]]:
    """All marks of a Score by the segment they stand in."""
    found: dict[int, list[Mark]] = {}
    for source in (
        _tempos(score, anchors),
        _ties(score, anchors),
        _slurs(score, anchors),
        _ornaments(strands, anchors),
        _dynamics(score, strands, anchors),
    ):
        for mark in source:
            found.setdefault(mark.segment, []).append(mark)
    return found


def _ties(score: Score, anchors: Anchors) -> Iterator[Mark]:
    for voice in score.voices:
        for number, event in enumerate(voice.events[:-1]):
            for place, head in enumerate(event.heads):
                end = _continuation(voice, number, place) if head.tied else None
                if end is None:
                    continue
                start = head_id(voice.name, number, place, len(event.heads))
                segment = anchors.segment_of(event.bar, event.start)
                yield Mark(segment, "tie", {"startid": f"#{start}", "endid": f"#{end}"})


def _continuation(voice: Voice, number: int, place: int) -> str | None:
    """The id of the note that a tied head is held into."""
    sound = voice.events[number].heads[place].sound
    after = voice.events[number + 1]
    for other, head in enumerate(after.heads):
        if head.sound == sound:
            return head_id(voice.name, number + 1, other, len(after.heads))
    return None


def _slurs(score: Score, anchors: Anchors) -> Iterator[Mark]:
    for index, voice in enumerate(score.voices):
        for slur in voice.slurs:
            start = anchors.of_event(index, slur.first)
            end = anchors.of_event(index, slur.last)
            if start is None or end is None or start == end:
                continue  # a slur over one note, or from a rest, says nothing
            event = voice.events[slur.first]
            segment = anchors.segment_of(event.bar, event.start)
            yield Mark(segment, "slur", {"startid": f"#{start}", "endid": f"#{end}"})


def _ornaments(strands: tuple[Strand, ...], anchors: Anchors) -> Iterator[Mark]:
    for strand in strands:
        place = "below" if strand.stems_down else "above"
        for item in strand.items:
            name = item.heads[0].id if len(item.heads) == 1 else item.id
            if name is None or not item.marks:
                continue
            segment = anchors.segment_of(item.bar, item.start)
            for tag, given in _marks_of(item, f"#{name}", place):
                yield Mark(segment, tag, given)


def _marks_of(item: Item, target: str, place: str) -> Iterator[tuple[str, Attributes]]:
    start = {"startid": target}
    if EventMark.FERMATA in item.marks:
        yield "fermata", {**start, "place": place, "form": "inv" if place == "below" else None}
    if EventMark.TRILL in item.marks:
        yield "trill", {**start, "place": place}
    if EventMark.TURN in item.marks:
        yield "turn", {**start, "place": place, "form": "upper"}
    if EventMark.MORDENT in item.marks:
        yield "mordent", {**start, "place": place, "form": "lower"}
    if EventMark.ARPEGGIO in item.marks and len(item.heads) > 1:
        yield "arpeg", {"plist": target}


def _dynamics(score: Score, strands: tuple[Strand, ...], anchors: Anchors) -> Iterator[Mark]:
    for index, voice in enumerate(score.voices):
        first = next(v for v in score.voices if v.staff == voice.staff)
        shared = sum(v.staff == voice.staff for v in score.voices) > 1
        place = "above" if shared and voice.name == first.name else "below"
        for number, event in enumerate(voice.events):
            if event.dynamic is None:
                continue
            segment = anchors.segment_of(event.bar, event.start)
            target = anchors.of_event(index, number)
            where: Attributes
            if target is None:  # over a rest, where only the time can tell
                stamp = decimal(anchors.stamp(segment, event.start))
                layer = _layer(strands, voice.staff, index)
                where = {"tstamp": stamp, "staff": str(voice.staff + 1), "layer": layer}
            else:
                where = {"startid": f"#{target}"}
            yield Mark(segment, "dynam", {**where, "place": place}, event.dynamic)


def _layer(strands: tuple[Strand, ...], staff: int, voice: int) -> str | None:
    """The number of the layer that a voice stands on; None where it is alone on its staff."""
    here = [strand for strand in strands if strand.staff == staff]
    if len(here) < 2:
        return None
    return next((str(n) for n, each in enumerate(here, 1) if voice in each.voices), None)


def _tempos(score: Score, anchors: Anchors) -> Iterator[Mark]:
    changes = {change.at: change.tempo for change in score.tempo_changes}
    if score.tempo is not None:
        changes.setdefault(Fraction(0), score.tempo)
    swing = score.swing
    for at, tempo in sorted(changes.items()):
        text = tempo_text(tempo)
        if swing is not None and at == 0:
            text = f"{text}, {swing_text(swing)}"
            swing = None
        yield _tempo(at, text, anchors)
    if swing is not None:
        yield _tempo(Fraction(0), swing_text(swing), anchors)


def _tempo(at: Fraction, text: str, anchors: Anchors) -> Mark:
    place = anchors.segment_at(at)
    stamp = decimal(anchors.stamp(place, at))
    return Mark(place, "tempo", {"tstamp": stamp, "staff": "1", "place": "above"}, text)


def tempo_text(tempo: Tempo) -> str:
    """A metronome mark: ♩ = 96."""
    return f"{_note(tempo.unit)} = {decimal(tempo.per_minute)}"


def swing_text(swing: Swing) -> str:
    """A swing mark: swing ♪ 2:1."""
    ratio = f"{decimal(swing.long)}:{decimal(swing.short)}"
    return f"swing {_note(swing.unit)} {ratio}"


def _note(value: Fraction) -> str:
    """A note value as text; as a fraction where no sign shows it."""
    try:
        shape = NoteValue.from_length(value)
    except TheoryError:
        return str(value)
    if shape.base not in _NOTES:
        return str(value)
    return _NOTES[shape.base] + "." * shape.dots
