"""Notes and rests of one layer of one measure."""

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from stavewright.figures.mei.accidentals import HeadPlace, Sign
from stavewright.figures.mei.articulations import add_articulations
from stavewright.figures.mei.drums import drum_place
from stavewright.figures.mei.groups import QUARTER, Range, ranges
from stavewright.figures.mei.segments import Segment
from stavewright.figures.mei.signatures import add_clef, add_signature
from stavewright.figures.mei.strands import Group, Item, PlacedGrace, PlacedHead, Strand
from stavewright.figures.mei.tree import add
from stavewright.notation.score import Drum, HeadMark, Silence
from stavewright.theory.key import Key
from stavewright.theory.note_value import NoteValue
from stavewright.theory.pitch import Pitch

_ROOM: Final = "\u00a0"
"""Kept free after a syllable: a reader's text face may be wider than the engraver's."""

HIGHLIGHT: Final = "hl"
"""The class of an emphasised note in the drawing."""


@dataclass(frozen=True, slots=True)
class Sung:
    """A syllable under a note."""

    verse: int
    text: str
    joined: bool
    """A hyphen follows."""
    continues: bool
    """A hyphen stands before it."""
    held: bool
    """A line follows: it is sung on over the next notes."""


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


def add_layer(
    staff: ET.Element,
    number: int,
    strand: Strand,
    segment: Segment,
    insets: Iterable[Inset],
    context: LayerContext,
) -> None:
    """Add what a strand has in a segment; clefs and signatures stand before the note they meet."""
    layer = add(staff, "layer", {"n": str(number)})
    here = strand.bars.get(segment.bar, ())
    places = [place for place in here if _is_in(strand.items[place], segment)]
    if not places:
        add(layer, "mSpace")
        return
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
    writer.write(layer, 0, len(items) - 1, list(found))
    writer.flush(layer, None)


def _is_in(item: Item, segment: Segment) -> bool:
    """Bare heads take no time: those at the very start of the next bar are kept out by `bar`."""
    if not item.duration:
        return segment.start <= item.start <= segment.end
    if item.fills_bar:
        return segment.opens
    if segment.opens and segment.closes:
        return True
    # A bar that is too full has a finding, and is drawn as it was written.
    return segment.start <= item.start and (item.start < segment.end or segment.closes)


class _Writer:
    """Walks the items of one measure and writes them into their beams and tuplets."""

    def __init__(
        self, strand: Strand, items: Sequence[Item], context: LayerContext, insets: list[Inset]
    ) -> None:
        self._strand = strand
        self._items = items
        self._context = context
        self._insets = insets

    def write(self, parent: ET.Element, first: int, last: int, inner: list[Range]) -> None:
        """Write items `first` to `last`; `inner` are the ranges within them, the outer first."""
        place = first
        while place <= last:
            group = next((r for r in inner if r.first == place), None)
            self.flush(parent, self._items[place].start)
            if group is None:
                self._write_item(parent, self._items[place])
                place += 1
                continue
            rest = [r for r in inner if r is not group and group.contains(r)]
            inner = [r for r in inner if r is not group and not group.contains(r)]
            self.write(_container(parent, group), group.first, group.last, rest)
            place = group.last + 1

    def flush(self, parent: ET.Element, until: Fraction | None) -> None:
        """Write the clefs and signatures that stand before a time; all that is left if None."""
        while self._insets and (until is None or self._insets[0].at <= until):
            inset = self._insets.pop(0)
            if inset.clef is not None:
                add_clef(parent, inset.clef)
            else:
                add_signature(parent, inset.key, inset.key_clef)

    def _write_item(self, parent: ET.Element, item: Item) -> None:
        if item.silence is not None:
            _write_silence(parent, item)
            return
        for grace in item.graces:
            self._write_grace(parent, grace)
        attributes = _shape(item.value) | self._stem(item)
        if len(item.heads) == 1:
            self._write_head(parent, item.heads[0], attributes, item)
            return
        chord = add(parent, "chord", {"xml:id": item.id} | attributes)
        add_articulations(chord, item, self._strand.stems_down)
        for head in item.heads:
            self._write_head(chord, head, {}, None)
        if item.heads:
            self._write_sung(chord, item.heads[0].place)

    def _stem(self, item: Item) -> dict[str, str | None]:
        if item.value is None:
            return {"stem.visible": "false"}
        if self._strand.stems_down is None:
            return {"stem.dir": "up" if self._context.one_line else None}
        return {"stem.dir": "down" if self._strand.stems_down else "up"}

    def _write_grace(self, parent: ET.Element, placed: PlacedGrace) -> None:
        """One grace note with its slash; several in a row share a beam."""
        several = placed.of > 1
        if several and placed.grace.value < QUARTER:
            goes_on = placed.number > 0 and len(parent) and parent[-1].tag == "beam"
            parent = parent[-1] if goes_on else add(parent, "beam")
        attributes: dict[str, str | None] = {
            **_shape(placed.grace.value),
            "grace": "acc" if several else "unacc",
            "stem.mod": None if several else "1slash",
        }
        count = len(placed.grace.heads)
        heads = [
            PlacedHead(
                head,
                HeadPlace(placed.voice, placed.event, at, placed.number),
                placed.id if count == 1 else f"{placed.id}.{at}",
            )
            for at, head in enumerate(placed.grace.heads)
        ]
        if count > 1:
            parent = add(parent, "chord", {"xml:id": placed.id} | attributes)
            attributes = {}
        for head in heads:
            self._write_head(parent, head, attributes, None)

    def _write_head(
        self,
        parent: ET.Element,
        head: PlacedHead,
        attributes: Mapping[str, str | None],
        item: Item | None,
    ) -> None:
        """Write one note; `item` only where the note is the whole event."""
        sound = head.head.sound
        mark = "paren" if HeadMark.GHOST in head.head.marks else None
        note = add(
            parent,
            "note",
            {
                "xml:id": head.id,
                "type": HIGHLIGHT if head.head.emphasised else None,
                "head.mod": mark,
                **attributes,
                **self._pitch(head, sound),
            },
        )
        if item is not None:
            add_articulations(note, item, self._strand.stems_down)
        if isinstance(sound, Pitch):
            _write_accidental(note, self._context.signs[head.place])
        if item is not None:
            self._write_sung(note, head.place)

    def _pitch(self, head: PlacedHead, sound: Pitch | Drum) -> dict[str, str | None]:
        if isinstance(sound, Drum):
            place = drum_place(sound, one_line=self._context.one_line)
            # The engraver needs no number; it is what tells an open hi-hat from a closed one.
            number = str(sound.key_number)
            return {"loc": str(place.position), "head.shape": place.shape, "pnum": number}
        printed = self._context.signs[head.place].pitch
        return {"pname": printed.letter.name.lower(), "oct": str(printed.octave)}

    def _write_sung(self, parent: ET.Element, place: HeadPlace) -> None:
        for sung in self._context.sung.get((place.voice, place.event), ()):
            verse = add(parent, "verse", {"n": str(sung.verse)})
            syllable = add(
                verse,
                "syl",
                {
                    "con": "d" if sung.joined else "u" if sung.held else None,
                    "wordpos": _word_position(sung),
                },
            )
            syllable.text = sung.text + _ROOM * (1 if sung.joined else 2 + len(sung.text) // 4)


def _word_position(sung: Sung) -> str | None:
    if sung.continues:
        return "m" if sung.joined else "t"
    return "i" if sung.joined else None


def _container(parent: ET.Element, group: Range) -> ET.Element:
    if group.group is None:
        return add(parent, "beam")
    ratio = group.group
    # A plain triplet or duplet says enough with one figure; other groups show both.
    is_usual = (ratio.actual, ratio.normal) in ((3, 2), (2, 3), (5, 4), (6, 4), (7, 4))
    return add(
        parent,
        "tuplet",
        {
            "num": str(ratio.actual),
            "numbase": str(ratio.normal),
            "num.format": "count" if is_usual else "ratio",
        },
    )


def _shape(value: Fraction | None) -> dict[str, str | None]:
    """The note value as MEI's `dur` and `dots`; a bare head is drawn as a quarter's."""
    if value is None:
        return {"dur": "4"}
    shape = NoteValue.from_length(value)
    base = "breve" if shape.base == 2 else str(shape.base.denominator)
    return {"dur": base, "dots": str(shape.dots) if shape.dots else None}


def _write_silence(parent: ET.Element, item: Item) -> None:
    if item.value is None:
        add(parent, "mRest" if item.silence is Silence.REST else "mSpace", {"xml:id": item.id})
        return
    tag = "rest" if item.silence is Silence.REST else "space"
    add(parent, tag, {"xml:id": item.id} | _shape(item.value))


def _write_accidental(note: ET.Element, sign: Sign) -> None:
    if sign.written is None:
        if sign.gestural is not None:
            add(note, "accid", {"accid.ges": sign.gestural})
        return
    enclosed = "paren" if sign.bracketed else None
    function = "caution" if sign.courtesy else None
    add(note, "accid", {"accid": sign.written, "enclose": enclosed, "func": function})
