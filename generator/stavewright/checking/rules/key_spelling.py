"""key-spelling: chromatic notes that are written as another note of the same sound.

What a chromatic note is called follows from where it goes: a raised note rises, a lowered note
falls. So a note that moves by half step as its name says is right; so is one that a chord needs.
Only what neither explains is questioned, and only where another name is plainly better.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from stavewright.checking.keys import home_names, key_at
from stavewright.checking.metre import place_words
from stavewright.checking.respelling import note_respelled, other_names
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note, Sounding, sounding
from stavewright.checking.verdicts import chord_verdicts, numeral_verdicts
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score
from stavewright.theory.key import Key
from stavewright.theory.naming import Exactness, name_chord
from stavewright.theory.pitch import PitchName

_HALF_STEP = 100
_LOWERED_RISING = ("b3", "b7")
"""Degrees of major that rise under their flat name as often as not: mixture and blue notes."""
_RAISED_FALLING = ("#4",)
"""The raised fourth falls back in every lament bass and chromatic scale."""


@dataclass(frozen=True, slots=True)
class _Place:
    """A chromatic note in its line and key."""

    note: Note
    before: Note | None
    after: Note | None
    key: Key

    @property
    def degree(self) -> str:
        """`b3`, `#4`, `bb7`: against the key's own degree on that letter."""
        number, cents = self.key.degree(self.note.pitch.name)
        signs = ("#" if cents > 0 else "b") * max(1, abs(cents) // _HALF_STEP)
        return f"{signs}{number}"

    @property
    def is_raised(self) -> bool:
        return self.degree.startswith("#")

    def step_to(self, other: Note | None) -> int | None:
        """Cents from this note to a neighbour a half step away; None for any other distance."""
        if other is None:
            return None
        cents = other.pitch.cents - self.note.pitch.cents
        return cents if abs(cents) == _HALF_STEP else None

    @property
    def moves_as_spelled(self) -> bool:
        """Whether it resolves by half step in the direction of its accidental."""
        step = self.step_to(self.after)
        if step is None or self.after is None:
            return False
        letters = self.after.pitch.staff_position - self.note.pitch.staff_position
        return abs(letters) == 1 and (step > 0) == self.is_raised


def _check(score: Score) -> Iterator[Finding]:
    if score.scale is not None or _is_blues(score):
        return
    what = sounding(score)
    chromatic = list(_chromatic(score, what))
    named = _named_by_labels(score) if chromatic else set()
    for note, key in chromatic:
        if note.index in named:
            continue
        place = _Place(note, what.before(note), what.after(note), key)
        better = _better_name(place, what)
        right = None if better is None else note_respelled(note, better)
        if right is not None:
            where = place_words(score, note.start) if score.bars else "this place"
            message = f"In {key}, {note.pitch} in {where} is better spelled {right}"
            for span in note.spans:
                yield Finding("key-spelling", Severity.WARNING, span, message, str(right), _REASON)


_REASON = (
    "A chromatic note is named after where it goes: raised notes rise, lowered notes fall, and in "
    "a chord each tone has the letter of its third, fifth or seventh (common practice, no source)."
)


def _chromatic(score: Score, what: Sounding) -> Iterator[tuple[Note, Key]]:
    """The notes of the twelve that their key does not have, each with that key."""
    keys = {score.key, *(change.key for change in score.key_changes)}
    keys.update(event.key for event in score.numerals)
    # What every key has needs no look at the one in force.
    homes = [frozenset(home_names(key)) for key in keys if key is not None]
    everywhere = frozenset.intersection(*homes) if homes else frozenset()
    for note in what.notes:
        name = note.pitch.name
        if name in everywhere or name.is_microtonal:
            continue
        key = key_at(score, note.start)
        if key is not None and name not in home_names(key):
            yield note, key


def _is_blues(score: Score) -> bool:
    """Whether the block says that its style has blue notes, which are spelled as one likes."""
    style = (score.style or "").lower()
    return "blues" in style or "jazz" in style


def _named_by_labels(score: Score) -> set[int]:
    """Notes that a chord label accounts for, whatever their spelling; chord-spelling's matter."""
    found: set[int] = set()
    for verdict in (*chord_verdicts(score), *numeral_verdicts(score)):
        sounds = {tone.cents for tone in verdict.reading.chord.names_from_bass}
        notes = verdict.hearing.notes
        found.update(note.index for note in notes if note.pitch.name.cents in sounds)
    return found


def _better_name(place: _Place, what: Sounding) -> PitchName | None:
    """The name that fits better, if one plainly does."""
    if place.moves_as_spelled:
        return None
    chord = _chord_names(place.note, what)
    if chord is not None:
        own = place.note.pitch.name
        return None if own in chord else next((n for n in chord if n.sounds_like(own)), None)
    return _name_at_home(place) or _name_by_direction(place)


def _chord_names(note: Note, what: Sounding) -> tuple[PitchName, ...] | None:
    """The spelling of the plain chord that sounds with the note; None where there is none."""
    pitches = [n.pitch for n in what.within(note.onset, note.release) if n.onset <= note.onset]
    if len({pitch.name.cents for pitch in pitches}) < 3:
        return None
    candidates = [c for c in name_chord(pitches) if c.chord is not None]
    if not candidates or candidates[0].chord is None or candidates[0].chord.root is None:
        # An augmented sixth is spelled so where it resolves so, which has been looked at.
        return None
    best = candidates[0]
    plain = best.exactness in (Exactness.COMPLETE, Exactness.INCOMPLETE, Exactness.RESPELLED)
    changed = {p.name for p in pitches} - set(best.chord.names) if best.chord else set()
    if not plain or best.chord is None or changed - {note.pitch.name}:
        return None
    return best.chord.names


def _name_at_home(place: _Place) -> PitchName | None:
    """The note of the key that sounds the same: F for an E sharp in C major."""
    own = place.note.pitch.name
    return next((name for name in home_names(place.key) if name.sounds_like(own)), None)


def _name_by_direction(place: _Place) -> PitchName | None:
    """The name that a chromatic passing or neighbour note has by where it goes."""
    arrival, departure = place.step_to(place.before), place.step_to(place.after)
    if arrival is None or departure is None or place.before is None or place.after is None:
        return None
    if place.degree in (_RAISED_FALLING if place.is_raised else _LOWERED_RISING):
        return None
    # A note below its neighbours is their lower neighbour and has the letter below theirs.
    goal = place.after.pitch
    if goal.letter is not place.note.pitch.letter:
        return None
    wanted = (goal.letter.place + (-1 if departure > 0 else 1)) % 7
    names = other_names(place.note.pitch.name)
    return next((name for name in names if name.letter.place == wanted), None)


RULE = Rule(
    id="key-spelling",
    severity=Severity.WARNING,
    explanation=(
        "A chromatic note is named after where it goes and the chord it belongs to: the third of "
        "the dominant of G is F sharp, never G flat. Under the wrong name the reader looks for the "
        "wrong resolution."
    ),
    wrong="""\
key: G major
time: 4/4
notes: 1/4 G4 Gb4 G4 A4 | 1/1 D4&Gb4&A4&C5 | G4&B4&D5
""",
    right="""\
key: G major
time: 4/4
notes: 1/4 G4 F#4 G4 A4 | 1/1 D4&F#4&A4&C5 | G4&B4&D5
""",
    check=_check,
)
