"""Notes and rests of one layer of one measure."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.accidentals import HeadPlace, Sign
from stavewright.figures.mei.articulations import articulations
from stavewright.figures.mei.drums import drum_place
from stavewright.figures.mei.groups import QUARTER, Range, ranges
from stavewright.figures.mei.lyrics import Sung
from stavewright.figures.mei.markup import attributes, element, escaped
from stavewright.figures.mei.segments import Segment
from stavewright.figures.mei.signatures import clef_element, signature_element
from stavewright.figures.mei.strands import Group, Item, PlacedGrace, PlacedHead, Strand
from stavewright.figures.mei.values import value_attributes
from stavewright.notation.score import Drum, HeadMark, Silence
from stavewright.theory.key import Key
from stavewright.theory.pitch import Pitch

_ROOM: Final = "\u00a0"
"""Kept free after a syllable: a reader's text face may be wider than the engraver's."""

HIGHLIGHT: Final = "hl"
"""The class of an emphasised note in the drawing."""


@dataclass(frozen=True, slots=True)
class Inset:
    """A clef or signature that stands among the notes."""

    at: Fraction
    clef: str | None = None
    key: Key | None = None
    key_clef: str = "treble"


@dataclass(frozen=True, slots=True)
class LayerContext:
    """What every layer needs to know."""

    signs: Mapping[HeadPlace, Sign]
    sung: Mapping[tuple[int, int], Sequence[Sung]]
    """By voice and event."""
    one_line: bool
    """Whether the staff has a single line."""


def layer_element(
    number: int,
    strand: Strand,
    segment: Segment,
    insets: Iterable[Inset],
    context: LayerContext,
) -> str:
    """What a strand has in a segment; clefs and signatures stand before the note they meet."""
    places: Sequence[int] = strand.bars.get(segment.bar, ())
    if not (segment.opens and segment.closes):
        places = [place for place in places if _is_in(strand.items[place], segment)]
    if not places:
        return _layer(number, element("mSpace"))
    first = places[0]
    items = strand.items[first : places[-1] + 1]
    groups = [
        Group(group.actual, group.normal, group.first - first, group.last - first)
        for group in strand.groups
        if group.first >= first and group.last <= places[-1]
    ]
    found = ranges(items, groups, segment.offset - segment.start, segment.meter)
    pending = sorted(insets, key=lambda inset: inset.at)
    writer = _Writer(strand, items, context, pending)
    return _layer(number, writer.written(0, len(items) - 1, found) + writer.insets())


def _layer(number: int, inside: str) -> str:
    return element("layer", f' n="{number}"', inside)


def _is_in(item: Item, segment: Segment) -> bool:
    """Whether an item of a bar that is cut stands in this part of it."""
    if not item.duration:
        return segment.start <= item.start <= segment.end
    if item.fills_bar:
        return segment.opens
    # A bar that is too full has a finding, and is drawn as it was written.
    return segment.start <= item.start and (item.start < segment.end or segment.closes)


class _Writer:
    """Walks the items of one measure and writes them into their beams and tuplets."""

    def __init__(
        self, strand: Strand, items: Sequence[Item], context: LayerContext, insets: list[Inset]
    ) -> None:
        self._stems_down = strand.stems_down
        self._items = items
        self._context = context
        self._insets = insets

    def written(self, first: int, last: int, inner: Sequence[Range]) -> str:
        """Items `first` to `last`; `inner` are the ranges within them, the outer first."""
        parts = []
        place = first
        while place <= last:
            item = self._items[place]
            parts.append(self.insets(item.start))
            group = next((r for r in inner if r.first == place), None)
            if group is None:
                parts.append(self._item(item))
                place += 1
                continue
            rest = [r for r in inner if r is not group and group.contains(r)]
            inner = [r for r in inner if r is not group and not group.contains(r)]
            parts.append(_container(group, self.written(group.first, group.last, rest)))
            place = group.last + 1
        return "".join(parts)

    def insets(self, until: Fraction | None = None) -> str:
        """The clefs and signatures that stand before a time; all that are left if None."""
        found = ""
        while self._insets and (until is None or self._insets[0].at <= until):
            inset = self._insets.pop(0)
            if inset.clef is not None:
                found += clef_element(inset.clef)
            else:
                found += signature_element(inset.key, inset.key_clef)
        return found

    def _item(self, item: Item) -> str:
        if item.silence is not None:
            return _silence(item)
        graces = self._graces(item.graces) if item.graces else ""
        look = value_attributes(item.value) + self._stem(item)
        signs = articulations(item, self._stems_down)
        # The only head of an event is the event; in a chord what is of all stands outside of all.
        if len(item.heads) == 1:
            head = item.heads[0]
            return graces + self._note(head, look, signs, self._sung(head.place))
        notes = "".join(map(self._note, item.heads))
        sung = self._sung(item.heads[0].place) if item.heads else ""
        given = attributes({"xml:id": item.id}) + look
        return graces + element("chord", given, signs + notes + sung)

    def _stem(self, item: Item) -> str:
        if item.value is None:
            return ' stem.visible="false"'
        if self._stems_down is None:
            return ' stem.dir="up"' if self._context.one_line else ""
        return ' stem.dir="down"' if self._stems_down else ' stem.dir="up"'

    def _graces(self, graces: Sequence[PlacedGrace]) -> str:
        """One grace note with its slash; several in a row share a beam."""
        found = beam = ""
        for placed in graces:
            is_beamed = placed.of > 1 and placed.grace.value < QUARTER
            if beam and not (is_beamed and placed.number):
                found += element("beam", inside=beam)
                beam = ""
            if is_beamed:
                beam += self._grace(placed)
            else:
                found += self._grace(placed)
        return found + (element("beam", inside=beam) if beam else "")

    def _grace(self, placed: PlacedGrace) -> str:
        kind = ' grace="acc"' if placed.of > 1 else ' grace="unacc" stem.mod="1slash"'
        look = value_attributes(placed.grace.value) + kind
        count = len(placed.grace.heads)
        heads = [
            PlacedHead(
                head,
                HeadPlace(placed.voice, placed.event, at, placed.number),
                placed.id if count == 1 else f"{placed.id}.{at}",
            )
            for at, head in enumerate(placed.grace.heads)
        ]
        if count == 1:
            return self._note(heads[0], look)
        notes = "".join(map(self._note, heads))
        return element("chord", attributes({"xml:id": placed.id}) + look, notes)

    def _note(self, placed: PlacedHead, look: str = "", signs: str = "", sung: str = "") -> str:
        """One note; what is given stands in it only where it is no part of a chord."""
        head = placed.head
        given = attributes(
            {
                "xml:id": placed.id,
                "type": HIGHLIGHT if head.emphasised else None,
                "head.mod": "paren" if HeadMark.GHOST in head.marks else None,
            }
        )
        if isinstance(head.sound, Drum):
            return element("note", given + look + self._drum(head.sound), signs + sung)
        sign = self._context.signs[placed.place]
        return element("note", given + look + _pitch(sign.pitch), signs + _accidental(sign) + sung)

    def _drum(self, drum: Drum) -> str:
        place = drum_place(drum, one_line=self._context.one_line)
        # The engraver needs no number; it is what tells an open hi-hat from a closed one.
        number = str(drum.key_number)
        return attributes({"loc": str(place.position), "head.shape": place.shape, "pnum": number})

    def _sung(self, place: HeadPlace) -> str:
        here = self._context.sung.get((place.voice, place.event), ())
        return "".join(map(_verse, here)) if here else ""


def _verse(sung: Sung) -> str:
    given = {
        "con": "d" if sung.joined else "u" if sung.held else None,
        "wordpos": _word_position(sung),
    }
    text = sung.text + _ROOM * (1 if sung.joined else 2 + len(sung.text) // 4)
    syllable = element("syl", attributes(given), escaped(text))
    return element("verse", f' n="{sung.verse}"', syllable)


def _word_position(sung: Sung) -> str | None:
    if sung.continues:
        return "m" if sung.joined else "t"
    return "i" if sung.joined else None


def _container(group: Range, inside: str) -> str:
    if group.group is None:
        return element("beam", inside=inside)
    ratio = group.group
    # A plain triplet or duplet says enough with one figure; other groups show both.
    is_usual = (ratio.actual, ratio.normal) in ((3, 2), (2, 3), (5, 4), (6, 4), (7, 4))
    given = {
        "num": str(ratio.actual),
        "numbase": str(ratio.normal),
        "num.format": "count" if is_usual else "ratio",
    }
    return element("tuplet", attributes(given), inside)


def _silence(item: Item) -> str:
    is_rest = item.silence is Silence.REST
    given = attributes({"xml:id": item.id})
    if item.value is None:
        return element("mRest" if is_rest else "mSpace", given)
    return element("rest" if is_rest else "space", given + value_attributes(item.value))


def _pitch(pitch: Pitch) -> str:
    return f' pname="{pitch.letter.lower()}" oct="{pitch.octave}"'


def _accidental(sign: Sign) -> str:
    if sign.written is None:
        return element("accid", f' accid.ges="{sign.gestural}"') if sign.gestural else ""
    given = {
        "accid": sign.written,
        "enclose": "paren" if sign.bracketed else None,
        "func": "caution" if sign.courtesy else None,
    }
    return element("accid", attributes(given))
