"""key-signature: notes that plainly live in another key than the one named."""

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from stavewright.checking.keys import is_at_home
from stavewright.checking.misnamed_key import misnamed_key
from stavewright.checking.parallel_key import parallel_of, told_by_chords, told_by_notes
from stavewright.checking.rule import Rule
from stavewright.checking.sounding import Note, Sounding, sounding
from stavewright.checking.words import listed
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score
from stavewright.notation.source import Span
from stavewright.theory.chord import Chord
from stavewright.theory.key import Key, Mode
from stavewright.theory.pitch import Letter, PitchName

_FEWEST_NOTES = 12
"""Fewer notes are a fragment, which may stand in any key."""
_FEWEST_CHANGED = 3
"""So often must a letter come with another accidental, and never with the key's own."""
_MOST_OUTSIDE = Fraction(1, 20)
"""Of the better key's own notes so few may be missing."""


@dataclass(frozen=True, slots=True)
class _Stretch:
    """The music under one signature."""

    key: Key
    span: Span
    form: str
    """How a key is written at that place."""
    notes: tuple[Note, ...]
    chords: tuple[Chord, ...]
    local: frozenset[Key]
    """The keys in which its numerals are read."""
    is_backed: bool
    """Whether the chords have the tonic chord of the key, so that its mode is meant."""

    @property
    def final(self) -> Note | None:
        """The lowest note of those that end last."""
        end = max((note.release for note in self.notes), default=0)
        last = (note for note in self.notes if note.release == end)
        return min(last, key=lambda note: note.pitch, default=None)

    def may_be(self, better: Key) -> bool:
        """Whether chords and numerals leave room for another key than the one named.

        A passage that the numerals read in another key modulates, and its signature may well stay.
        """
        if better.tonic == self.key.tonic and self.is_backed:
            return False
        return self.local <= {self.key} or (self.key not in self.local and better in self.local)


def _check(score: Score) -> Iterator[Finding]:
    if score.scale is not None:
        return
    misnamed = misnamed_key(score)
    if misnamed is not None:
        yield misnamed.finding
        return
    what = sounding(score)
    for stretch in _stretches(score, what):
        found = _by_changed_letters(stretch, what)
        if found is None and stretch.local <= {stretch.key}:
            found = _by_parallel(stretch)
        if found is not None:
            yield found


def _stretches(score: Score, what: Sounding) -> Iterator[_Stretch]:
    span = score.field_span("key")
    signs = [(Fraction(0), score.key, span, "{}")]
    signs += [(change.at, change.key, change.span, "key({})") for change in score.key_changes]
    for at, (start, key, place, form) in enumerate(signs):
        if key is None or place is None:
            continue
        end = signs[at + 1][0] if at + 1 < len(signs) else score.end
        first, last = (bisect_left(what.onsets, what.ticks.count(time)) for time in (start, end))
        here = what.notes[first:last]
        read = (event.key for event in score.numerals if start <= event.start < end)
        local = frozenset(each for each in read if each is not None)
        events = (event.chord for event in score.chords if start <= event.start < end)
        chords = tuple(chord for chord in events if chord is not None)
        yield _Stretch(key, place, form, here, chords, local, _is_backed(score, key))


def _is_backed(score: Score, key: Key) -> bool:
    """Whether the chord line has the tonic chord of the named key: its third is then meant.

    So in a blues, whose tune has the minor third throughout over a major chord.
    """
    third = key.names[2]
    chords = [event.chord for event in score.chords if event.chord is not None]
    return any(chord.root == key.tonic and third in chord.names for chord in chords)


def _by_parallel(stretch: _Stretch) -> Finding | None:
    """The parallel key, where the notes in third and sixth, or the chords, have its form."""
    key, other = stretch.key, parallel_of(stretch.key)
    if other is None or stretch.is_backed:
        return None
    said = None
    if len(stretch.notes) >= _FEWEST_NOTES and stretch.final is not None:
        names = [note.pitch.name for note in stretch.notes]
        said = told_by_notes(key, other, names, stretch.final.pitch.name)
    said = said or told_by_chords(key, other, stretch.chords)
    return None if said is None else _finding(stretch, other, said, Severity.ERROR)


def _by_changed_letters(stretch: _Stretch, what: Sounding) -> Finding | None:
    """The key that has a letter as the notes have it, every time, and the named key has not."""
    if len(stretch.notes) < _FEWEST_NOTES:
        return None
    changed = _changed_letters(stretch, what)
    better = _better_key(stretch, changed) if changed else None
    if better is None or not stretch.may_be(better):
        return None
    names = listed(str(name) for name in changed.values())
    homes = listed(str(n) for n in stretch.key.names if n.letter in changed)
    said = f"has {homes}, but the notes have {names} throughout and end on {better.tonic}"
    plain = len(changed) > 1 or better.tonic != stretch.key.tonic
    plain = plain or better.mode.has_major_third != stretch.key.mode.has_major_third
    return _finding(stretch, better, said, Severity.ERROR if plain else Severity.WARNING)


def _changed_letters(stretch: _Stretch, what: Sounding) -> dict[Letter, PitchName]:
    """Letters that never come as the key has them, and what they come as throughout."""
    found = {}
    by_letter: dict[Letter, list[PitchName]] = {}
    for note in stretch.notes:
        by_letter.setdefault(note.pitch.letter, []).append(note.pitch.name)
    for home in stretch.key.names:
        names = by_letter.get(home.letter, [])
        if len(names) < _FEWEST_CHANGED or any(is_at_home(name, stretch.key) for name in names):
            continue
        if len(set(names)) == 1 and not _only_lead(names[0], home, what):
            found[home.letter] = names[0]
    return found


def _only_lead(name: PitchName, home: PitchName, what: Sounding) -> bool:
    """Whether a note never does more than lead by half step to the next letter, as its sign says.

    Then it ornaments that note and is no degree of a scale: the C sharp that rises to D in G major.
    """
    way = 1 if name.cents_altered > home.cents_altered else -1
    for note in what.notes:
        if note.pitch.name != name:
            continue
        after = what.after(note)
        step = note.pitch.interval_to(after.pitch) if after is not None else None
        if step is None or (step.steps, step.cents) != (way, 100 * way):
            return False
    return True


def _better_key(stretch: _Stretch, changed: dict[Letter, PitchName]) -> Key | None:
    """A key that has the changed notes and nearly all others, and on whose tonic the music ends."""
    if stretch.final is None or stretch.final.pitch.name.is_microtonal:
        return None
    tonic = stretch.final.pitch.name
    modes = [Mode.MAJOR, Mode.MINOR]
    if tonic == stretch.key.tonic:
        modes += [Mode.MIXOLYDIAN, Mode.DORIAN, Mode.LYDIAN, Mode.PHRYGIAN]
    fitting = []
    for mode in modes:
        key = Key(tonic, mode)
        if not all(is_at_home(name, key) for name in changed.values()):
            continue
        outside = _outside(stretch, key)
        if outside <= _MOST_OUTSIDE:
            fitting.append((outside, modes.index(mode), key))
    return min(fitting, key=lambda each: each[:2])[2] if fitting else None


def _outside(stretch: _Stretch, key: Key) -> Fraction:
    """Which part of the sounding time falls on notes that the key does not have."""
    total = sum((note.duration for note in stretch.notes), Fraction(0))
    away = (note.duration for note in stretch.notes if not is_at_home(note.pitch.name, key))
    return sum(away, Fraction(0)) / total


def _finding(stretch: _Stretch, better: Key, said: str, severity: Severity) -> Finding:
    """`said` goes on from the name of the key: what it has and the music has not."""
    message = f"{stretch.key} {said}: this is {better}"
    suggestion = stretch.form.format(better)
    return Finding("key-signature", severity, stretch.span, message, suggestion, _REASON)


_REASON = (
    "A key names the notes a reader should expect; where one of them never comes, and another "
    "stands in its place every time, the name is wrong."
)


RULE = Rule(
    id="key-signature",
    severity=Severity.ERROR,
    explanation=(
        "Where a dozen notes or more never use a degree of the named key, use another form of it "
        "throughout, and end on the tonic of a key that has them all, they live in that key, and "
        "so do chords that begin and end on the minor form of a tonic named major. A reader who "
        "trusts the named key plays wrong notes."
    ),
    wrong="""\
key: D minor
time: 4/4
notes: 1/4 D4 F#4 A4 F#4 | E4 C#4 E4 A4 | G4 F#4 E4 C#4 | 1/1 D4
""",
    right="""\
key: D major
time: 4/4
notes: 1/4 D4 F#4 A4 F#4 | E4 C#4 E4 A4 | G4 F#4 E4 C#4 | 1/1 D4
""",
    check=_check,
)
