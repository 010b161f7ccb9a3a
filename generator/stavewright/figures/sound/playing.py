"""The sounds of a voice in the order they are played: repeats played out, ties merged."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from stavewright.figures.sound.clockwork import Clock, Pass
from stavewright.figures.sound.performance import PlayedNote
from stavewright.figures.sound.voices import Sound, Sounding
from stavewright.notation.score import Drum
from stavewright.theory import Pitch


def play_voice(
    events: Sequence[Sounding], place: int, order: Sequence[Pass], clock: Clock
) -> tuple[list[PlayedNote], list[range]]:
    """What the voice at `place` of the performance plays, and the stretches of ornaments."""
    by_bar: dict[int, list[Sounding]] = {}
    for event in events:
        by_bar.setdefault(event.bar, []).append(event)
    player = _Player(place, clock)
    for here in order:
        for event in by_bar.get(here.bar, ()):
            player.play(here, event)
    return player.notes, player.ornaments


@dataclass(slots=True)
class _Player:
    """A voice on its way through the bars."""

    place: int
    clock: Clock
    notes: list[PlayedNote] = field(default_factory=list)
    ornaments: list[range] = field(default_factory=list)
    held: Mapping[Pitch | Drum, int] = field(default_factory=dict)
    """Which written sounds are held over, and where each is in `notes`."""

    def play(self, here: Pass, event: Sounding) -> None:
        """Play an event: what is held over to it goes on, the rest is struck."""
        self.notes += [self._note(here, sound) for sound in event.graces]
        after: dict[Pitch | Drum, int] = {}
        for sounds in event.heads:
            written = sounds[-1]
            at = self.held.get(written.sound) if self.held else None
            notes = [self._note(here, sound) for sound in sounds]
            if at is None:
                at = self._strike(notes)
            else:
                self._prolong(at, notes[-1])
            if written.is_tied:
                after[written.sound] = at
        self.held = after

    def _strike(self, notes: Sequence[PlayedNote]) -> int:
        """Add the notes of a head; gives where the last is, by which it may be held over."""
        first = len(self.notes)
        self.notes += notes
        if len(notes) > 1:
            self.ornaments.append(range(first, len(self.notes)))
        return len(self.notes) - 1

    def _prolong(self, at: int, held: PlayedNote) -> None:
        """Make the note at a place last as long as the one that it is held over to."""
        note = self.notes[at]
        # In a bar that is too long, an error of its own, time may seem to run backward.
        end, release = max(note.end, held.end), max(note.release, held.release)
        self.notes[at] = replace(note, end=end, release=release, ids=(*note.ids, *held.ids))

    def _note(self, here: Pass, sound: Sound) -> PlayedNote:
        """A sound in one pass through its bar."""
        clock = self.clock
        start = clock.resolution.in_ticks(sound.start)
        end = start + clock.resolution.in_ticks(sound.length)
        return PlayedNote(
            self.place,
            sound.sound,
            here.shift + start,
            here.shift + end,
            here.delay + clock.at(start),
            here.delay + clock.at(end),
            sound.loudness,
            (sound.id,),
        )
