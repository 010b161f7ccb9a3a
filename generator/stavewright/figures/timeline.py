"""When each note really sounds: the written time, then swing, then its own shift.

Everything is exact. Times come both in whole notes (to lay beside the bar's beats) and in seconds
(through the score's tempos). Repeats are not played out: this is the time of the page.
"""

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from stavewright.notation.score import Event, Head, Score, Swing, Tempo, Voice

DEFAULT_TEMPO = Tempo(Fraction(1, 4), Fraction(96))
"""For a block that names no tempo; a walking pace."""
_NOTHING = Fraction(0)


@dataclass(frozen=True, slots=True)
class Onset:
    """The beginning of one note head that is struck (a note held over by a tie is not)."""

    voice: str
    event: int
    """Index into the voice's events."""
    head: Head
    written: Fraction
    """Whole notes from the beginning of the score."""
    swung: Fraction
    """The same, after swing alone."""
    shift: Fraction
    """How far the author moves the sound off its place, in whole notes; negative is early."""
    shift_seconds: Fraction
    """The same in seconds, through the tempos."""
    sounding: Fraction
    """When it sounds, after swing and shift, in whole notes."""
    seconds: Fraction
    """When it sounds, from the beginning of the score; negative for a first note shifted early."""
    duration: Fraction
    """Whole notes as written, through its ties."""

    @property
    def offset(self) -> Fraction:
        """How far the sound lies off the written time, in whole notes; negative is early."""
        return self.sounding - self.written


@dataclass(frozen=True, slots=True)
class TempoMap:
    """The tempos of a score, for turning score time into seconds."""

    starts: tuple[Fraction, ...]
    """Where each tempo begins; the first at 0."""
    tempos: tuple[Tempo, ...]
    seconds: tuple[Fraction, ...]
    """When each begins."""
    paces: tuple[Fraction, ...]
    """Seconds that a whole note lasts at each."""

    @classmethod
    def of(cls, score: Score) -> "TempoMap":
        """The tempo map of a score; a later tempo at the same moment wins."""
        marks = {Fraction(0): score.tempo or DEFAULT_TEMPO}
        marks |= {change.at: change.tempo for change in score.tempo_changes}
        starts = tuple(sorted(marks))
        tempos = tuple(marks[start] for start in starts)
        paces = tuple(seconds_per_whole(tempo) for tempo in tempos)
        seconds = [Fraction(0)]
        for (before, after), pace in zip(pairwise(starts), paces, strict=False):
            seconds.append(seconds[-1] + (after - before) * pace)
        return cls(starts, tempos, tuple(seconds), paces)

    def seconds_at(self, time: Fraction) -> Fraction:
        """When a score time comes; times before the beginning run at the first tempo."""
        if len(self.starts) == 1:
            return time * self.paces[0]
        index = self._index(time)
        return self.seconds[index] + (time - self.starts[index]) * self.paces[index]

    def whole_notes(self, at: Fraction, seconds: Fraction) -> Fraction:
        """How much score time passes in some seconds at the tempo that holds at a moment."""
        return seconds / self.paces[self._index(at)] if seconds else seconds

    def tempo_at(self, time: Fraction) -> Tempo:
        """The tempo that holds at a moment."""
        return self.tempos[self._index(time)]

    def _index(self, time: Fraction) -> int:
        return max(0, bisect_right(self.starts, time) - 1) if len(self.starts) > 1 else 0


def nearest(number: int, parts: int) -> int:
    """`round(Fraction(number, parts))` without the fraction: files hold thousands of these."""
    whole, rest = divmod(number, parts)
    twice = 2 * rest
    goes_up = twice > parts or (twice == parts and whole % 2 == 1)
    return whole + goes_up


def seconds_per_whole(tempo: Tempo) -> Fraction:
    """How long a whole note lasts."""
    return 60 / (tempo.per_minute * tempo.unit)


def swung(time: Fraction, bar_start: Fraction, swing: Swing | None) -> Fraction:
    """A written time after swing.

    Each pair of units from the bar's beginning is stretched: its first half lasts `long` parts of
    the pair and its second `short`; what lies inside a half moves in proportion.
    """
    if swing is None:
        return time
    pair = 2 * swing.unit
    count, inside = divmod(time - bar_start, pair)
    turn = pair * swing.long / (swing.long + swing.short)
    if inside <= swing.unit:
        moved = inside * turn / swing.unit
    else:
        moved = turn + (inside - swing.unit) * (pair - turn) / swing.unit
    return bar_start + count * pair + moved


def onsets(score: Score) -> tuple[Onset, ...]:
    """Every struck note of the score, in order of its sound, then of its voice."""
    tempos = TempoMap.of(score)
    order = {voice.name: place for place, voice in enumerate(score.voices)}
    found = [onset for voice in score.voices for onset in _of_voice(score, voice, tempos)]
    return tuple(sorted(found, key=lambda onset: (onset.sounding, order[onset.voice], onset.event)))


def _of_voice(score: Score, voice: Voice, tempos: TempoMap) -> list[Onset]:
    found = []
    swing = VoiceSwing.of(score, voice)
    held: frozenset[object] = frozenset()
    for index, event in enumerate(voice.events):
        if not event.heads:
            held = frozenset()
            continue
        even = swing.after(index, event.start)
        unmoved = tempos.seconds_at(even)
        for head in event.heads:
            if head.sound in held:
                continue
            shift = shift_seconds = _NOTHING
            if head.shift is not None:
                shift = shift_of(head, even, tempos)
                shift_seconds = tempos.seconds_at(even + shift) - unmoved
            onset = Onset(
                voice=voice.name,
                event=index,
                head=head,
                written=event.start,
                swung=even,
                shift=shift,
                shift_seconds=shift_seconds,
                sounding=even + shift if shift else even,
                seconds=unmoved + shift_seconds if shift else unmoved,
                duration=_through_ties(voice.events, index, head),
            )
            found.append(onset)
        held = frozenset(head.sound for head in event.heads if head.tied)
    return found


@dataclass(frozen=True, slots=True)
class VoiceSwing:
    """What swing does to one voice.

    A group in another ratio keeps its own rhythm: swung is only where it begins and ends, so that
    a triplet over a whole pair is a plain triplet (common practice).
    """

    swing: Swing | None
    origins: tuple[Fraction, ...]
    """For each event, where its bar's pairs are counted from; empty without swing."""
    groups: Mapping[int, tuple[Fraction, Fraction]]
    """Where the outermost group around an event begins and ends, by the index of the event."""

    @classmethod
    def of(cls, score: Score, voice: Voice) -> "VoiceSwing":
        """For a voice of a score."""
        if score.swing is None:
            return cls(None, (), {})
        by_bar = [bar_origin(score, index) for index in range(len(score.bars))] or [Fraction(0)]
        events = voice.events
        groups = {
            index: (events[group.first].start, events[group.last].end)
            for group in reversed(voice.tuplets)  # the outer ones last, since they count
            for index in range(group.first, group.last + 1)
        }
        return cls(score.swing, tuple(by_bar[event.bar] for event in events), groups)

    def times(self, index: int, event: Event) -> tuple[Fraction, Fraction]:
        """When the event `index` begins after swing, and how long it lasts."""
        if self.swing is None:
            return event.start, event.duration
        start = self.after(index, event.start)
        return start, self.after(index, event.end) - start

    def after(self, index: int, time: Fraction) -> Fraction:
        """When a moment of the event `index`, its start or its end, comes after swing."""
        if self.swing is None:
            return time
        origin = self.origins[index]
        start, end = self.groups.get(index, (time, time))
        first = swung(start, origin, self.swing)
        if start == end:  # no group, or one of bare heads, which take no time
            return first
        last = swung(end, origin, self.swing)
        return first + (time - start) * (last - first) / (end - start)


def bar_origin(score: Score, index: int) -> Fraction:
    """Where beats and swung pairs of a bar are counted from: its beginning, were it whole.

    A pickup lacks its beginning, and the second part of a bar that a repeat divides goes on where
    the first stops.
    """
    if not score.bars:
        return Fraction(0)
    bar = score.bars[index]
    if index > 0 and score.bars[index - 1].number == bar.number:
        return bar_origin(score, index - 1)
    if bar.number == 0 and bar.meter:
        return min(bar.start, bar.start + bar.length - bar.meter.length)
    return bar.start


def shift_of(head: Head, at: Fraction, tempos: TempoMap) -> Fraction:
    """How far a head is moved off the moment `at`, in whole notes; negative is early."""
    shift = head.shift
    if shift is None:
        return _NOTHING
    if shift.milliseconds is not None:
        return tempos.whole_notes(at, shift.milliseconds / 1000)
    return shift.note_value or _NOTHING


def _through_ties(events: tuple[Event, ...], index: int, head: Head) -> Fraction:
    """How long a head lasts with all that it is tied to."""
    duration = events[index].duration
    sound, tied = head.sound, head.tied
    for event in events[index + 1 :]:
        following = next((other for other in event.heads if other.sound == sound), None)
        if not tied or following is None:
            break
        duration += event.duration
        tied = following.tied
    return duration
