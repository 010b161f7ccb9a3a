"""Why a note that is not in the chord may still be right.

The kinds are those of every harmony book: passing and neighbour notes, suspensions, appoggiaturas,
anticipations, escape notes, pedal points (common practice, no source). What they share is that the
ear follows a line: the note is prepared by, or goes to, a note a step away, or it stays where it is
while the chord changes around it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction

from stavewright.checking.hearing import Hearing
from stavewright.checking.metre import OFF_BEAT, beat_length
from stavewright.checking.sounding import Note, is_step
from stavewright.theory.pitch import PitchName

_ATTACKS_TO_RESOLVE = 4
"""A decorated suspension may touch so many notes before it resolves."""
_HALF = Fraction(1, 2)


class Ornament(Enum):
    """The treatments of dissonance."""

    PASSING = "passing note"
    NEIGHBOUR = "neighbour note"
    SUSPENSION = "suspension"
    APPOGGIATURA = "appoggiatura"
    ANTICIPATION = "anticipation"
    ESCAPE = "escape note"
    HELD = "note held over"
    PEDAL = "pedal point"


@dataclass(frozen=True, slots=True)
class _Turn:
    """A note in its line, under one label."""

    note: Note
    before: Note | None
    after: Note | None
    hearing: Hearing
    names: frozenset[PitchName]
    """The tones of the label's chord."""

    @property
    def arrives(self) -> bool:
        """Reached by step."""
        return self.before is not None and is_step(self.before.pitch, self.note.pitch)

    @property
    def leaves(self) -> bool:
        """Left by step."""
        return self.after is not None and is_step(self.note.pitch, self.after.pitch)

    @property
    def prepared(self) -> bool:
        """Heard just before, held or repeated."""
        same = self.before is not None and self.before.pitch == self.note.pitch
        return same or self.note.onset < self.hearing.onset

    @property
    def is_late(self) -> bool:
        """Struck after the label's first moment."""
        return self.note.onset > self.hearing.onset

    @property
    def moves_on(self) -> bool:
        """Followed by another note within the label."""
        return self.after is not None and self.after.onset < self.hearing.release

    @property
    def goes_home(self) -> bool:
        """Left by step to a tone of the chord, or to whatever the next label brings."""
        if self.after is None or not self.leaves:
            return False
        return self.after.onset >= self.hearing.release or self.after.pitch.name in self.names

    @property
    def turns_back(self) -> bool:
        """Left by step to the very note it came from."""
        same = self.before and self.after and self.before.pitch == self.after.pitch
        return bool(same) and self.leaves


def _is_neighbour(turn: _Turn) -> bool:
    return turn.is_late and turn.arrives and turn.turns_back


def _is_passing(turn: _Turn) -> bool:
    """Also accented, on the label's first moment, as long as the line moves on within the label."""
    return turn.arrives and turn.leaves and (turn.is_late or turn.moves_on)


def _is_suspension(turn: _Turn) -> bool:
    return turn.prepared and (turn.goes_home or _resolves_later(turn))


def _is_appoggiatura(turn: _Turn) -> bool:
    if turn.is_late:
        return turn.goes_home
    return (turn.moves_on and turn.goes_home) or _resolves_later(turn)


def _is_anticipation(turn: _Turn) -> bool:
    after, hearing = turn.after, turn.hearing
    if after is None or after.pitch.name != turn.note.pitch.name or not turn.is_late:
        return False
    return after.onset >= hearing.release and hearing.share(turn.note) <= _HALF


def _is_escape(turn: _Turn) -> bool:
    share = turn.hearing.share(turn.note)
    off_beat = turn.hearing.weight(turn.note) == OFF_BEAT
    return turn.is_late and turn.arrives and (share < _HALF or (share == _HALF and off_beat))


def _is_held_over(turn: _Turn) -> bool:
    """The tail of a note from the chord before, let go within the first half."""
    return turn.note.onset < turn.hearing.onset and turn.hearing.share(turn.note) <= _HALF


_TESTS: tuple[tuple[Ornament, Callable[[_Turn], bool]], ...] = (
    (Ornament.NEIGHBOUR, _is_neighbour),
    (Ornament.PASSING, _is_passing),
    (Ornament.SUSPENSION, _is_suspension),
    (Ornament.APPOGGIATURA, _is_appoggiatura),
    (Ornament.ANTICIPATION, _is_anticipation),
    (Ornament.ESCAPE, _is_escape),
    (Ornament.HELD, _is_held_over),
)
"""In the order in which they are tried; the first that holds names the note."""


def explain(note: Note, hearing: Hearing, names: frozenset[PitchName]) -> Ornament | None:
    """Say why a note outside the chord of these tones may sound; None where nothing says so."""
    sounding = hearing.sounding
    turn = _Turn(note, sounding.before(note), sounding.after(note), hearing, names)
    first, last = _stay(note, hearing)
    if first.onset <= hearing.onset and last.release >= hearing.release:
        return _explain_throughout(turn, (first, last))
    return next((ornament for ornament, test in _TESTS if test(turn)), None)


def _explain_throughout(turn: _Turn, stay: tuple[Note, Note]) -> Ornament | None:
    """Say why a note may be foreign from a label's first moment to its last."""
    hearing, after = turn.hearing, turn.after
    is_short = hearing.end - hearing.start < beat_length(hearing.score, hearing.start)
    if is_short and turn.arrives and turn.leaves:
        return Ornament.PASSING
    if turn.prepared and turn.leaves and after is not None and after.pitch.name in turn.names:
        # The label was written again where the suspension resolves.
        return Ornament.SUSPENSION
    return Ornament.PEDAL if _is_pedal(turn.note, stay, hearing) else None


def _is_pedal(note: Note, stay: tuple[Note, Note], hearing: Hearing) -> bool:
    """Whether a note that stays reaches beyond the label; struck anew only an outer voice does."""
    onset, release = hearing.onset, hearing.release
    if note.onset < onset or note.release > release:
        return True
    if stay[0].onset >= onset and stay[1].release <= release:
        return False
    heights = [other.pitch for other in hearing.notes]
    return note.pitch in (min(heights), max(heights))


def _stay(note: Note, hearing: Hearing) -> tuple[Note, Note]:
    """The first and last of the repetitions of a note, as far as they matter to a label."""
    first = last = note
    before = hearing.sounding.before(first)
    while before is not None and before.pitch == note.pitch and first.onset >= hearing.onset:
        first, before = before, hearing.sounding.before(before)
    after = hearing.sounding.after(last)
    while after is not None and after.pitch == note.pitch and last.release <= hearing.release:
        last, after = after, hearing.sounding.after(after)
    return first, last


def _resolves_later(turn: _Turn) -> bool:
    """Whether a tone of the chord a step away follows soon, after notes in between."""
    at: Note | None = turn.note
    for _ in range(_ATTACKS_TO_RESOLVE):
        at = turn.hearing.sounding.after(at) if at is not None else None
        if at is None or at.onset >= turn.hearing.release:
            return False
        if is_step(turn.note.pitch, at.pitch) and at.pitch.name in turn.names:
            return True
    return False
