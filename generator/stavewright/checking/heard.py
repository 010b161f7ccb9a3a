"""The notes under a label, each with its part in the chord that the label names."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from stavewright.checking.hearing import Hearing
from stavewright.checking.metre import beat_length
from stavewright.checking.ornaments import Ornament, explain
from stavewright.checking.reading import Reading
from stavewright.checking.sounding import Note
from stavewright.theory.chord_tone import ChordTone
from stavewright.theory.pitch import PitchName

_TWO_SPELLINGS = frozenset({"#9", "#11", "b5", "#5", "b13"})
"""Altered tones of a dominant that are printed either way: the Eb of a C7#9 is no slip."""
_HALF_STEP = 100
_SHORT = Fraction(1, 4)
"""Of the stretch; a longer note in another spelling is a tone of the chord, misspelled."""
_OFTEN = 3
"""Returns of a note within one label."""
_FEWEST_AT_ONCE = 3
"""Notes struck together from which a voice accompanies rather than sings."""
_STRUCK = frozenset({Ornament.PASSING, Ornament.NEIGHBOUR, Ornament.APPOGGIATURA})
"""Ornaments that may fall on the first moment of a label without being held over from before."""


@dataclass(frozen=True, slots=True)
class Part:
    """A note under a label."""

    note: Note
    tone: ChordTone | None
    """The chord tone it is."""
    alike: ChordTone | None
    """The chord tone it sounds like but is not spelled as."""
    is_bass: bool
    """Whether it is the label's foreign bass, as the D of C/D."""
    ornament: Ornament | None
    """What explains it where it is foreign."""

    @property
    def belongs(self) -> bool:
        """Whether the label names it, however spelled."""
        return self.tone is not None or self.alike is not None or self.is_bass


@dataclass(frozen=True, slots=True)
class Heard:
    """All of them."""

    reading: Reading
    hearing: Hearing
    parts: tuple[Part, ...]

    @property
    def strangers(self) -> Iterator[Part]:
        """Foreign notes that nothing explains."""
        for part in self.parts:
            if not part.belongs and not self._is_explained(part):
                yield part

    def _is_explained(self, part: Part) -> bool:
        if part.ornament is None:
            return False
        if part.ornament is Ornament.PEDAL:
            rival = self.rival(part.note)
            in_place = rival is not None and not self.has(rival)
            return self._rings_without(part.note) and not in_place
        if self._recurs_in_pattern(part.note):
            return False
        rival = self.rival(part.note)
        if rival is None:
            return True
        if part.note.onset == self.hearing.onset and part.ornament in _STRUCK:
            # Another form of a chord tone, struck with the chord, is heard as part of it.
            return False
        if rival.number != 3:
            return True
        if part.ornament in (Ornament.PASSING, Ornament.NEIGHBOUR):
            return self._is_brief(part.note)
        # A third in the place of the chord's own is heard as the third, unless both sound.
        return self.has(rival)

    def _is_brief(self, note: Note) -> bool:
        """Whether a note is too short to change the chord: less than half the label, or a beat."""
        beat = beat_length(self.hearing.score, self.hearing.start)
        return self.hearing.share(note) * 2 < 1 or note.duration < beat

    def _recurs_in_pattern(self, note: Note) -> bool:
        """Whether figuration comes back to the note so often that the ear adds it to the chord."""
        if not self.hearing.plays_pattern(note.voice):
            return False
        own = (other for other in self.hearing.notes if other.voice == note.voice)
        return sum(other.pitch == note.pitch for other in own) >= _OFTEN

    def _rings_without(self, note: Note) -> bool:
        """Whether the other notes make the chord clear while this one stays."""
        others = [part for part in self.parts if part.note.pitch != note.pitch and part.belongs]
        if self.is_thin:
            return bool(others)
        return all(any(tone in (p.tone, p.alike) for p in others) for tone in self._needed)

    @property
    def _needed(self) -> tuple[ChordTone, ...]:
        """The tones that make the chord clear: of a triad all three."""
        chord = self.reading.chord
        return chord.tones if self.is_triad else chord.required

    def has(self, tone: ChordTone) -> bool:
        """Whether the tone sounds, however spelled."""
        return any(tone in (part.tone, part.alike) for part in self.parts)

    def is_delayed(self, tone: ChordTone) -> bool:
        """Whether a suspension stands before the tone, which comes when the label is over."""
        for part in self.parts:
            after = self.hearing.sounding.after(part.note)
            suspended = part.ornament is Ornament.SUSPENSION and after is not None
            if suspended and after is not None and after.pitch.name == tone.name:
                return True
        return False

    def _has_number(self, *numbers: int) -> bool:
        return any(tone.number in numbers and self.has(tone) for tone in self.reading.chord.tones)

    @property
    def has_fifth(self) -> bool:
        """Whether the fifth sounds."""
        return self._has_number(5)

    @property
    def has_seventh(self) -> bool:
        """Whether the seventh sounds."""
        return self._has_number(7)

    @property
    def is_plain_triad(self) -> bool:
        """Whether root, third and fifth sound and no other tone of the chord."""
        triad = (1, 2, 3, 4, 5)
        tones = [tone for tone in self.reading.chord.tones if self.has(tone)]
        return len(tones) == 3 and all(tone.number in triad for tone in tones)

    @property
    def is_triad(self) -> bool:
        """Whether the label names a chord of three tones."""
        return len(self.reading.chord.tones) == 3

    @property
    def is_complete(self) -> bool:
        """Whether every tone sounds that defines the chord; of a triad all three."""
        return all(self.has(tone) for tone in self._needed)

    @property
    def is_scattered(self) -> bool:
        """Whether the notes lie in several voices, one of which may be a tune on its own."""
        return len({part.note.voice for part in self.parts}) > 1

    @property
    def is_thin(self) -> bool:
        """Whether at most two notes sound at once, so that no full chord can be expected."""
        return self.hearing.fullness < 3

    def total_share(self, note: Note) -> Fraction:
        """Which part of the stretch the note fills together with its repetitions."""
        alike = [p.note for p in self.strangers if p.note.pitch.name == note.pitch.name]
        return max((self.hearing.share(note), sum(map(self.hearing.share, alike), Fraction(0))))

    def rival(self, note: Note) -> ChordTone | None:
        """The chord tone on the note's letter with another accidental: Eb for an E over Cm."""
        letter = note.pitch.letter
        tones = self.reading.chord.tones
        return next((tone for tone in tones if tone.name.letter is letter), None)

    def is_seventh(self, note: Note) -> bool:
        """Whether the note is a seventh above the root."""
        root = self.reading.chord.root
        return root is not None and root.interval_to(note.pitch.name).number == 7

    def is_blue(self, note: Note) -> bool:
        """Whether the note is the blue third or fifth of a tune over a chord with a major third.

        Under a numeral only over a dominant seventh, as the I7 and IV7 of a blues.
        """
        dominant = any(tone.degree == "b7" for tone in self.reading.chord.tones)
        if not self.is_tune(note) or (self.reading.names_every_note and not dominant):
            return False
        root = self.reading.chord.root
        if root is None or not any(tone.degree == "3" for tone in self.reading.chord.tones):
            return False
        return (note.pitch.name.cents - root.cents) % 1200 in (300, 600)

    def is_tune(self, note: Note) -> bool:
        """Whether the note belongs to a line of its own.

        It is struck alone in its voice, and lies on top or beside a voice that strikes chords.
        """
        there = [part.note for part in self.parts if part.note.index != note.index]
        alone = not any(o.voice == note.voice and o.onset == note.onset for o in there)
        overlapping = [o for o in there if o.onset < note.release and o.release > note.onset]
        is_lowest = all(other.pitch >= note.pitch for other in there)
        if is_lowest or self.hearing.plays_pattern(note.voice):
            return False
        strikes = Counter((o.voice, o.onset) for o in overlapping if o.voice != note.voice)
        on_top = all(o.pitch.cents <= note.pitch.cents for o in overlapping)
        return alone and (on_top or max(strikes.values(), default=0) >= _FEWEST_AT_ONCE)


def take_in(reading: Reading, hearing: Hearing) -> Heard:
    """Find each note's part in the chord."""
    tones = {tone.name: tone for tone in reversed(reading.chord.tones)}
    parts = tuple(_part(note, reading, hearing, tones) for note in hearing.notes)
    return Heard(reading, hearing, parts)


def _part(
    note: Note, reading: Reading, hearing: Hearing, tones: Mapping[PitchName, ChordTone]
) -> Part:
    name = note.pitch.name
    chord = reading.chord
    is_bass = name == chord.bass
    tone = tones.get(name)
    if tone is not None or is_bass:
        return Part(note, tone, None, is_bass, None)
    ornament = explain(note, hearing, frozenset(tones))
    if name in reading.suspended:
        return Part(note, None, None, False, Ornament.SUSPENSION)
    alike = next((tone for tone in chord.tones if tone.name.sounds_like(name)), None)
    decorates = ornament is not None and _leans_by_half_step(note, hearing)
    if alike is None or decorates or _passes_by_half_steps(note, hearing):
        return Part(note, None, None, False, ornament)
    if _may_be_spelled_so(alike, reading):
        return Part(note, alike, None, False, None)
    return Part(note, None, alike, False, None)


def _may_be_spelled_so(tone: ChordTone, reading: Reading) -> bool:
    dominant = any(other.degree == "b7" for other in reading.chord.tones)
    major = any(other.degree == "3" for other in reading.chord.tones)
    return tone.degree in _TWO_SPELLINGS and dominant and major


def _leans_by_half_step(note: Note, hearing: Hearing) -> bool:
    """Whether a short note goes by half step to the next letter, as the D# before an E does."""
    after = hearing.sounding.after(note)
    if after is None or hearing.share(note) > _SHORT:
        return False
    step = note.pitch.interval_to(after.pitch)
    return abs(step.steps) == 1 and abs(step.cents) == _HALF_STEP


def _passes_by_half_steps(note: Note, hearing: Hearing) -> bool:
    """Whether it is a chromatic passing note, which its direction spells, not the chord."""
    before, after = hearing.sounding.before(note), hearing.sounding.after(note)
    if before is None or after is None or note.onset <= hearing.onset:
        return False
    way = (note.pitch.cents - before.pitch.cents, after.pitch.cents - note.pitch.cents)
    return way in ((100, 100), (-100, -100))
