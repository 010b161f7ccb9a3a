"""Notes, chords and what is written into them."""

import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from stavewright.importing.draft import Draft, DraftTone
from stavewright.importing.mei.definitions import ACCIDENTALS
from stavewright.importing.mei.place import NO_INTERVAL, Reading, StaffState, ident
from stavewright.importing.model import Sung
from stavewright.importing.pitches import drum_numbered, drum_placed, is_shown, pitch_of
from stavewright.importing.syllables import ELISION, sung
from stavewright.importing.tree import said, whole
from stavewright.notation.clefs import PERCUSSION
from stavewright.notation.limits import MOST_PASSES
from stavewright.notation.score import Drum, EventMark, HeadMark
from stavewright.theory import Letter, Pitch, PitchName

ARTICULATIONS: Final = {
    "acc": EventMark.ACCENT,
    "stacc": EventMark.STACCATO,
    "ten": EventMark.TENUTO,
}
_ARTICULATION_WORDS: Final = {
    "marc": "strong accent",
    "stacciss": "staccatissimo",
    "upbow": "up bow",
    "dnbow": "down bow",
    "harm": "harmonic",
    "snap": "snap pizzicato",
    "open": "open sign",
    "stop": "stopped sign",
}
_CROSSES: Final = ("x", "diamond", "+", "slash", "plus")
_BOTTOM_LINE: Final = 4 * 7 + 2
_JOINED: Final = ("i", "m")


@dataclass(slots=True)
class Accidentals:
    """What earlier accidentals of a bar do to later notes, where a file leaves it to them."""

    reading: Reading
    state: StaffState
    here: dict[tuple[str, int], int] = field(default_factory=dict)
    held: dict[tuple[str, int], int] = field(default_factory=dict)
    """The last sign on each line and space, for notes held over a bar line."""

    def cents(self, note: ET.Element, letter: str, octave: int) -> Fraction:
        """By how much a note is altered, in cents."""
        written, sounding = _signs(note)
        place = letter, octave
        if written is not None:
            self.here[place] = self.held[place] = written
        if sounding is not None:
            return Fraction(sounding)
        if written is not None:
            return Fraction(written)
        if not self.reading.implicit:
            return Fraction(0)
        if _is_tied_to(note) or ident(note) in self.reading.tie_ends:
            return Fraction(self.held.get(place, self._signature(letter)))
        cents = self.here.get(place, self._signature(letter))
        self.held[place] = cents
        return Fraction(cents)

    def _signature(self, letter: str) -> int:
        count = self.state.signature
        place = PitchName(Letter[letter], 0).fifths  # F is -1, B is 5
        if count > 0:
            return 100 * ((count - place - 2) // 7 + 1)
        return -100 * ((-count + place - 6) // 7 + 1) if count < 0 else 0

    def new_bar(self) -> None:
        """A bar line ends what accidentals do."""
        self.here.clear()


def _signs(note: ET.Element) -> tuple[int | None, int | None]:
    """The written accidental and the sounding one, in cents; None where not said."""
    written, sounding = note.get("accid"), note.get("accid.ges")
    for child in note.iter("accid"):
        written = child.get("accid", written)
        sounding = child.get("accid.ges", sounding)
    return ACCIDENTALS.get(written or ""), ACCIDENTALS.get(sounding or "")


def _is_tied_to(note: ET.Element) -> bool:
    return any(sign[:1] in ("m", "t") for sign in (note.get("tie") or "").split())


def tone_of(
    reading: Reading, note: ET.Element, state: StaffState, accidentals: Accidentals
) -> DraftTone | None:
    """What a note sounds; None for what a block cannot hold."""
    sound = _sound(reading, note, state, accidentals)
    if sound is None:
        reading.remains.leave("note out of reach", state.index, many="notes out of reach")
        return None
    tone = DraftTone(sound, any(s[:1] in _JOINED for s in (note.get("tie") or "").split()))
    if note.get("oct.ges") is not None:
        reading.sounding_octaves.add(id(tone))
    if note.get("head.mod") == "paren":
        tone.marks.add(HeadMark.GHOST)
    encloses = [note.get("accid.enclose"), *(each.get("enclose") for each in note.iter("accid"))]
    functions = [each.get("func") for each in note.iter("accid")]
    if "paren" in encloses or "brack" in encloses or "caution" in functions:
        tone.marks.add(HeadMark.COURTESY)
    reading.tones[ident(note)] = tone
    return tone


def _sound(
    reading: Reading, note: ET.Element, state: StaffState, accidentals: Accidentals
) -> Pitch | Drum | None:
    if state.clef == PERCUSSION or (note.get("loc") is not None and note.get("pname") is None):
        return _drum(reading, note, state)
    letter = (note.get("pname") or note.get("pname.ges") or "").upper()
    octave = whole(note.get("oct"))
    octave = state.octave if octave is None else octave
    if letter not in Letter.__members__ or octave is None:
        return None
    cents = accidentals.cents(note, letter, octave)
    sounding = whole(note.get("oct.ges"))
    written = pitch_of(letter, cents, octave if sounding is None else sounding)
    if written is None:
        return None
    pitch = written if state.transposition == NO_INTERVAL else written + state.transposition
    return pitch if is_shown(pitch) else None


def _drum(reading: Reading, note: ET.Element, state: StaffState) -> Drum | None:
    number = whole(note.get("pnum") or note.get("midi.pnum"))
    found = drum_numbered(number) if number is not None else None
    if found is not None:
        return found
    place = whole(note.get("loc"))
    letter, octave = (note.get("pname") or "").upper(), whole(note.get("oct"))
    if place is None and letter in Letter.__members__ and octave is not None:
        place = octave * 7 + Letter[letter].place - _BOTTOM_LINE
    cross = note.get("head.shape") in _CROSSES
    found = drum_placed(place, cross=cross) if place is not None else None
    if found is None:
        reading.remains.leave(
            "percussion note without a known instrument, taken for a snare",
            state.index,
            many="percussion notes without a known instrument, taken for a snare",
        )
    return found or drum_numbered(38)


def read_marks(reading: Reading, draft: Draft, element: ET.Element) -> None:
    """Articulations, fermatas and slurs said in an element itself."""
    signs = (element.get("artic") or "").split()
    for child in element.findall("artic"):
        signs += (child.get("artic") or "").split()
    for sign in signs:
        if sign in ARTICULATIONS:
            draft.marks.add(ARTICULATIONS[sign])
        else:
            words = _ARTICULATION_WORDS.get(sign, sign)
            reading.remains.leave(words, draft.staff)
    if element.get("fermata"):
        draft.marks.add(EventMark.FERMATA)
    for sign in (element.get("slur") or "").split():
        name = f"{sign[1:] or '1'} in {draft.voice}"
        if sign[:1] in ("m", "t"):
            draft.slurs_to.add(name)
        if sign[:1] in ("i", "m"):
            draft.slurs_from.add(name)


def syllables(element: ET.Element) -> Iterator[Sung]:
    """The syllables under a note or a chord, by verse."""
    verses = element.findall("verse")
    for place, verse in enumerate(verses, 1):
        number = whole(verse.get("n")) or place
        texts = verse.findall("syl")
        if texts and 1 <= number <= MOST_PASSES:
            yield from _sung(number, texts)
    for syl in element.findall("syl"):
        yield from _sung(1, [syl])
    if element.get("syl"):
        yield sung(1, element.get("syl", ""))


def _sung(verse: int, texts: list[ET.Element]) -> Iterator[Sung]:
    words = ELISION.join(filter(None, map(said, texts)))
    sign, position = texts[-1].get("con", ""), texts[-1].get("wordpos", "")
    if words:
        yield sung(verse, words, joined=sign == "d" or position in _JOINED, held=sign == "u")
