"""One layer of one staff in one bar, from its first event to its last."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Final

from stavewright.importing.draft import Draft
from stavewright.importing.mei.definitions import (
    meter_of,
    put_clef,
    put_key,
    put_meter,
    signature_of,
)
from stavewright.importing.mei.notes import Accidentals, read_marks, syllables, tone_of
from stavewright.importing.mei.place import DURATIONS, Reading, StaffState, ident
from stavewright.importing.tree import children, whole
from stavewright.notation.limits import LARGEST_RATIO, MOST_HEADS
from stavewright.notation.score import Silence
from stavewright.theory.tuplet_ratio import TupletRatio

_TICKS: Final = re.compile(r"(?P<count>\d{1,6})p")
_SILENT: Final = ("mSpace", "space")
_REPEATS: Final = {
    "mRpt2": "sign for repeating two bars",
    "multiRpt": "sign for repeating several bars",
    "beatRpt": "sign for repeating a beat",
    "halfmRpt": "sign for repeating half a bar",
}
_NOTHING: Final = ("barLine", "custos", "pb", "sb", "annot", "accid", "artic", "dot", "label")
Spans = Mapping[str, tuple[str, tuple[int, int]]]
"""Groups in a ratio drawn over notes: by the id of the first, the id of the last and the ratio."""


class LayerReader:
    """Walks a layer; `at` is the moment it has come to."""

    def __init__(
        self,
        reading: Reading,
        state: StaffState,
        voice: str,
        accidentals: Accidentals,
        spans: Spans,
    ) -> None:
        self._reading = reading
        self._state = state
        self._voice = voice
        self._accidentals = accidentals
        self._spans = spans
        self._ratio = Fraction(1)
        self._factor = Fraction(1)
        self._opens: list[tuple[int, int]] = []
        self._ends: list[tuple[str, Fraction]] = []
        self._graces: list[Draft] = []
        self._last: Draft | None = None
        self.at = Fraction(0)

    def read(self, layer: ET.Element) -> None:
        """Read a whole layer."""
        self._walk(layer)
        for grace in self._graces:
            self._leave("grace note after its note", "grace notes after their note", grace.staff)

    def _walk(self, parent: ET.Element, *, grace: bool = False) -> None:
        for tag, element in self._reading.inside(parent):
            if tag in ("note", "chord"):
                self._sound(element, grace=grace or element.get("grace") is not None)
            elif tag in ("rest", "space", "mRest", "mSpace", "multiRest"):
                self._silence(tag, element)
            elif tag == "tuplet":
                self._tuplet(element)
            elif tag == "fTrem":
                self._leave("tremolo", "tremolos")
                self._factor /= 2
                self._walk(element)
                self._factor *= 2
            elif tag in ("beam", "bTrem", "graceGrp", "ligature"):
                if tag == "bTrem":
                    self._leave("tremolo", "tremolos")
                self._walk(element, grace=grace or tag == "graceGrp")
            else:
                self._other(tag, element)

    def _other(self, tag: str, element: ET.Element) -> None:
        if tag == "clef":
            put_clef(self._reading, element, self._state, self.at)
        elif tag == "keySig":
            put_key(self._reading, signature_of(element), self._state, self.at)
        elif tag == "meterSig":
            meter = meter_of(element.get("count"), element.get("unit"), element.get("sym"))
            if meter is not None:
                put_meter(self._reading, meter, self.at)
        elif tag == "mRpt":
            self._repeat_bar()
        elif tag in _REPEATS:
            self._leave(_REPEATS[tag], _REPEATS[tag].replace("sign", "signs"))
        elif tag not in _NOTHING:
            self._leave(tag, "")

    def _leave(self, one: str, many: str, staff: int | None = None) -> None:
        where = self._state.index if staff is None else staff
        self._reading.remains.leave(one, where, many=many)

    def _tuplet(self, element: ET.Element) -> None:
        """A group in a ratio around what it holds."""
        ratio = ratio_of(element)
        if ratio is None:
            self._walk(element)
            return
        before = self._last
        self._opens.append(ratio)
        outer = self._ratio
        self._ratio *= Fraction(ratio[1], ratio[0])
        self._walk(element)
        self._ratio = outer
        if self._last is not None and self._last is not before:
            self._last.closes += 1
        elif self._opens:
            self._opens.pop()

    def _value(self, element: ET.Element) -> Fraction | None:
        """The printed value; None where nothing says one."""
        name = element.get("dur") or ""
        value = DURATIONS.get(name)
        if value is None and not name and element.get("dur.ges") is None:
            value = DURATIONS.get(self._state.duration)
        if value is None:
            return self._played(element)
        dots = whole(element.get("dots")) or len(element.findall("dot"))
        return value * (2 - Fraction(1, 2 ** min(dots, 4))) * self._factor

    def _played(self, element: ET.Element) -> Fraction | None:
        match = _TICKS.fullmatch(element.get("dur.ges") or "")
        if match is None or not self._state.ticks:
            return DURATIONS.get(element.get("dur.ges") or "")
        return int(match["count"]) / self._state.ticks / 4 / self._ratio

    def _draft(self, element: ET.Element, value: Fraction | None) -> Draft:
        reading = self._reading
        there = reading.staves.get(element.get("staff", ""), self._state)
        ids = [ident(element), *(ident(child) for _, child in children(element))]
        for name in ids:
            if name in self._spans:
                last, ratio = self._spans[name]
                self._ends.append((last, self._ratio))
                self._ratio *= Fraction(ratio[1], ratio[0])
                self._opens.append(ratio)
        length = (value or Fraction(0)) * self._ratio
        return Draft(there.index, self._voice, self.at, length, value, ratio=self._ratio)

    def _sound(self, element: ET.Element, *, grace: bool) -> None:
        value = self._value(element)
        if value is None and element.tag == "chord":
            value = next(filter(None, map(self._value, element.findall("note"))), None)
        if grace:
            value = value or Fraction(1, 8)
            draft = Draft(self._state.index, self._voice, self.at, Fraction(0), value)
        else:
            draft = self._draft(element, value)
        self._fill(draft, element)
        self._name(draft, element, grace=grace)
        if element.get("cue") == "true":
            self._leave("cue note", "cue notes")
            draft.tones.clear()
        if grace:
            if draft.tones:
                self._graces.append(draft)
            return
        draft.silence = None if draft.tones else Silence.SPACE
        draft.graces = [each.as_grace() for each in self._graces]
        self._graces.clear()
        self._add(draft, element)

    def _fill(self, draft: Draft, element: ET.Element) -> None:
        notes = [element] if element.tag == "note" else []
        if not notes:
            notes = [child for tag, child in self._reading.inside(element) if tag == "note"]
        for note in notes[:MOST_HEADS]:
            tone = tone_of(self._reading, note, self._state, self._accidentals)
            if tone is not None and all(tone.sound != other.sound for other in draft.tones):
                draft.tones.append(tone)
        if element.tag == "chord" and element.get("tie", "")[:1] in ("i", "m"):
            for tone in draft.tones:
                tone.tied = True
        for each in {id(element): element, **{id(note): note for note in notes}}.values():
            read_marks(self._reading, draft, each)
            draft.sung += syllables(each)

    def _name(self, draft: Draft, element: ET.Element, *, grace: bool) -> None:
        names = [ident(element), *(ident(note) for note in element.findall("note"))]
        for name in filter(None, names):
            if grace:
                self._reading.graces.add(name)
            else:
                self._reading.events[name] = draft, self._reading.bar.index

    def _silence(self, tag: str, element: ET.Element) -> None:
        value = None if tag.startswith("m") else self._value(element)
        draft = self._draft(element, value)
        hidden = tag in _SILENT or element.get("visible") == "false"
        draft.silence = Silence.SPACE if hidden else Silence.REST
        if value is None and not tag.startswith("m"):
            return
        if value is None:
            bar = self._reading.bar
            draft.length = bar.meter.length if bar.meter is not None else Fraction(1)
        read_marks(self._reading, draft, element)
        self._name(draft, element, grace=False)
        self._add(draft, element)

    def _add(self, draft: Draft, element: ET.Element) -> None:
        draft.opens = [*self._opens]
        self._opens.clear()
        self._reading.bar.drafts.append(draft)
        self._last = draft
        self.at = draft.end
        names = {ident(element), *(ident(child) for _, child in children(element))}
        while self._ends and self._ends[-1][0] in names:
            self._ratio = self._ends.pop()[1]
            draft.closes += 1

    def _repeat_bar(self) -> None:
        """Write out a sign for repeating the bar before."""
        if len(self._reading.bars) < 2:
            return
        for draft in self._reading.bars[-2].drafts:
            if draft.voice == self._voice:
                copy = replace(
                    draft, slurs_from=set(), slurs_to=set(), sung=[], tones=[*draft.tones]
                )
                self._reading.bar.drafts.append(copy)
                self.at = copy.end


def ratio_of(element: ET.Element) -> tuple[int, int] | None:
    """The ratio a group says: the usual one where it names only its number."""
    actual = whole(element.get("num"))
    normal = whole(element.get("numbase"))
    if actual is not None and normal is None:
        usual = TupletRatio.usual(actual)
        normal = usual.normal if usual is not None else None
    if not actual or not normal or actual == normal or max(actual, normal) > LARGEST_RATIO:
        return None
    return actual, normal


def spans_in(measure: ET.Element) -> dict[str, tuple[str, tuple[int, int]]]:
    """The groups that are drawn over notes from outside their layers."""
    found = {}
    for element in measure.iter("tupletSpan"):
        ratio = ratio_of(element)
        first = (element.get("startid") or "").removeprefix("#")
        last = (element.get("endid") or "").removeprefix("#")
        if ratio is not None and first and last:
            found[first] = last, ratio
    return found
