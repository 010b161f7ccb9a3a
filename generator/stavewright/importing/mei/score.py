"""A whole MEI document: its head, the order of its measures, and what they share."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from stavewright.importing.errors import CannotImportError
from stavewright.importing.mei.controls import pair_ends, read_control, shift_octaves
from stavewright.importing.mei.definitions import define_staves, read_definition
from stavewright.importing.mei.head import credits_of, rights_of, sources_of, title_of
from stavewright.importing.mei.layer import LayerReader, spans_in
from stavewright.importing.mei.notes import Accidentals
from stavewright.importing.mei.place import NO_INTERVAL, Bar, Reading
from stavewright.importing.model import Measure, Piece, StaffPart
from stavewright.importing.remains import Remains
from stavewright.importing.tree import children, whole
from stavewright.notation.clefs import PERCUSSION
from stavewright.notation.limits import MOST_PASSES
from stavewright.notation.score import BarSign

_RIGHT: Final = {
    "dbl": BarSign.DOUBLE,
    "end": BarSign.FINAL,
    "rptend": BarSign.REPEAT_END,
    "rptboth": BarSign.REPEAT_END,
    "heavy": BarSign.DOUBLE,
    "dblheavy": BarSign.DOUBLE,
}
_PLAIN: Final = ("single", "invis", "", *_RIGHT)
_MOST_RESTS: Final = 100


@dataclass(slots=True)
class _Walk:
    """Walks the sections of a score."""

    reading: Reading
    parts: list[StaffPart]
    accidentals: dict[str, Accidentals] = field(default_factory=dict)
    pending: list[ET.Element] = field(default_factory=list)
    """Definitions that wait for the bar they stand before."""
    ending: tuple[int, ...] = ()
    starts: bool = False
    controls: list[tuple[Bar, str, ET.Element]] = field(default_factory=list)
    """What is joined when all notes are known."""
    repeats_next: bool = False

    def section(self, element: ET.Element) -> None:
        """A section, an ending, or what an editor wraps around them."""
        for tag, child in self.reading.inside(element):
            if tag == "measure":
                self._measure(child)
            elif tag in ("scoreDef", "staffDef"):
                self.pending.append(child)
            elif tag == "ending":
                self.ending = _passes(child.get("n") or child.get("label") or "")
                self.starts = bool(self.ending)
                self.section(child)
                self.ending = ()
            elif tag in ("section", "part", "score"):
                self.section(child)
            elif tag == "staff":
                raise CannotImportError(
                    "the file's music has no measures, as mensural notation has"
                )

    def _measure(self, element: ET.Element) -> None:
        reading = self.reading
        bar = Bar(element.get("n") or "", len(reading.bars), meter=reading.meter)
        reading.bars.append(bar)
        reading.remains.bar = bar.index
        bar.uncounted = element.get("metcon") == "false"
        bar.ending, bar.ending_starts = self.ending, self.starts
        self.starts = False
        for definition in self.pending:
            read_definition(reading, definition, Fraction(0))
        self.pending.clear()
        self._signs(bar, element)
        spans = spans_in(element)
        others: list[tuple[str, ET.Element]] = []
        for tag, child in reading.inside(element):
            if tag == "staff":
                self._staff(child, spans)
            else:
                others.append((tag, child))
        for tag, child in others:
            read_control(reading, tag, child)
            if tag in ("tie", "slur", "phrase", "octave"):
                self.controls.append((bar, tag, child))
        self._rests(element)

    def _signs(self, bar: Bar, element: ET.Element) -> None:
        left, right = element.get("left", ""), element.get("right", "")
        bar.opens_repeat = self.repeats_next or left in ("rptstart", "rptboth")
        self.repeats_next = right in ("rptboth", "rptstart")
        bar.closing = _RIGHT.get(right, BarSign.SINGLE)
        bar.invisible = right == "invis"
        if right not in _PLAIN and right != "rptstart":
            self.reading.remains.leave(f"{right} bar line")
        if left in ("rptend", "rptboth") and bar.index:
            self.reading.bars[-2].closing = BarSign.REPEAT_END

    def _staff(self, element: ET.Element, spans: "dict[str, tuple[str, tuple[int, int]]]") -> None:
        reading = self.reading
        name = element.get("n") or ""
        state = reading.staves.get(name)
        if state is None:
            reading.remains.leave("staff that is not declared", many="staves that are not declared")
            return
        held = self.accidentals.setdefault(name, Accidentals(reading, state))
        held.new_bar()
        layers = [child for tag, child in reading.inside(element) if tag == "layer"]
        for place, layer in enumerate(layers, 1):
            voice = f"{state.index + 1}.{layer.get('n') or place}"
            reading.homes[voice] = state.index
            LayerReader(reading, state, voice, held, spans).read(layer)

    def _rests(self, measure: ET.Element) -> None:
        """A rest of several bars stands for as many."""
        counts = [whole(each.get("num")) or 1 for each in measure.iter("multiRest")]
        notes = measure.find(".//note") is not None
        if not counts or notes:
            return
        bar = self.reading.bar
        for step in range(1, min(max(counts), _MOST_RESTS)):
            text = str(int(bar.number) + step) if bar.number.isdecimal() else ""
            copy = Bar(text, len(self.reading.bars), meter=self.reading.meter)
            copy.drafts = [replace(draft, opens=[]) for draft in bar.drafts]
            self.reading.bars.append(copy)


def _passes(text: str) -> tuple[int, ...]:
    bounds = re.fullmatch(r"\D*(\d{1,2})\s*[-–]\s*(\d{1,2})\D*", text)
    if bounds is not None:
        found = set(range(int(bounds[1]), int(bounds[2]) + 1))
    else:
        found = {int(each) for each in re.findall(r"\d{1,3}", text)}
    return tuple(sorted(each for each in found if 1 <= each <= MOST_PASSES))


def read_mei(root: ET.Element) -> Piece:
    """Read an `mei` document, the first movement of several; raises CannotImportError."""
    movements = list(root.iter("mdiv"))
    innermost = [each for each in movements if each.find("score") is not None]
    if not innermost:
        why = (
            "holds single parts and no score"
            if root.find(".//parts") is not None
            else "holds no score"
        )
        raise CannotImportError(f"the file {why}; export the score as MEI or MusicXML")
    score = innermost[0].find("score")
    assert score is not None  # it was just looked for
    reading = _reading(score)
    if len(innermost) > 1:
        count = len(innermost) - 1
        for _ in range(count):
            reading.remains.leave("further movement")
    return _piece(root, score, reading)


def _reading(score: ET.Element) -> Reading:
    by_id = {element.get("id", ""): element for element in score.iter() if element.get("id")}
    implicit = not any(element.get("accid.ges") for element in score.iter())
    ends = frozenset((e.get("endid") or "").removeprefix("#") for e in score.iter("tie"))
    return Reading(Remains(), by_id, implicit, ends)


def _piece(root: ET.Element, score: ET.Element, reading: Reading) -> Piece:
    opening = next((each for each in score.iter("scoreDef")), None)
    if opening is None:
        raise CannotImportError("the file does not say which staves its score has")
    walk = _Walk(reading, define_staves(reading, opening))
    for tag, child in children(score):
        if tag == "scoreDef":
            walk.pending.append(child)
        elif tag in ("section", "ending"):
            walk.section(_wrapped(child))
    if not reading.bars:
        raise CannotImportError("the file holds no bars; export MEI or MusicXML from your program")
    for number, (bar, tag, element) in enumerate(walk.controls):
        if tag == "octave":
            shift_octaves(reading, bar, element)
            reading.remains.bar = bar.index
            reading.remains.leave(
                "ottava sign (the notes stand where they sound)",
                many="ottava signs (the notes stand where they sound)",
            )
        else:
            pair_ends(reading, bar, tag, element, f"{tag} {number}")
    return Piece(
        title_of(root),
        tuple(credits_of(root)),
        tuple(rights_of(root)),
        tuple(sources_of(root)),
        tuple(_staves(walk)),
        tuple(_closed(bar, reading.homes) for bar in reading.bars),
        tuple(reading.remains.found),
        reading.swing,
    )


def _wrapped(element: ET.Element) -> ET.Element:
    around = ET.Element("section")
    around.append(element)
    return around


def _staves(walk: _Walk) -> Iterator[StaffPart]:
    for part, state in zip(walk.parts, walk.reading.staves.values(), strict=False):
        drums = state.clef == PERCUSSION
        interval = None if state.transposition == NO_INTERVAL or drums else -state.transposition
        opening = walk.reading.bars[0].clefs
        first = (c.what for c in opening if c.staff == state.index and c.at == 0)
        clef = next(first, "treble")
        yield replace(part, transposition=interval, percussion=drums, clef=clef)


def _closed(bar: Bar, homes: dict[str, int]) -> Measure:
    """The measure; of several metres at one place the last holds, and keys come staff by staff."""
    measure = bar.closed(bar.length, homes)
    keys = sorted(measure.keys, key=lambda each: (each.at, each.staff))
    return replace(measure, meters=measure.meters[-1:], keys=tuple(keys))
