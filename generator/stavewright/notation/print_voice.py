"""Writes the bars of a voice."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Final

from stavewright.notation.event_text import event_text
from stavewright.notation.limits import LONGEST_VALUE, SMALLEST_VALUE
from stavewright.notation.print_changes import Place
from stavewright.notation.print_symbols import music_in_bar
from stavewright.notation.score import Drum, Event, Grace, Score, Slur, Tuplet, Voice
from stavewright.notation.sounds import instrument_of
from stavewright.notation.values import show_value

_GRACE_VALUE: Final = Fraction(1, 8)


@dataclass(slots=True)
class VoiceState:
    """What carries over from bar to bar: the value in force and the groups that are open."""

    value: Fraction | None = None
    open: list[tuple[Tuplet | Slur, Fraction | None]] = field(default_factory=list)
    """Each with the value to restore after it."""


class VoiceWriter:
    """Writes a voice bar by bar."""

    def __init__(self, score: Score, voice: Voice, changes: Mapping[Place, Sequence[str]]) -> None:
        self.score = score
        self.voice = voice
        self.changes = changes
        clef = score.staves[voice.staff].clef
        self.own: Drum | None = instrument_of(voice.name, clef).own
        self.bare = any(each.value is None and not each.fills_bar for each in voice.events)
        """Whether it is a voice of bare note heads, which says no value at all."""
        self._ends = {slur.last for slur in voice.slurs}
        self._slurs: defaultdict[int, list[Slur]] = defaultdict(list)
        self._tuplets: defaultdict[int, list[Tuplet]] = defaultdict(list)
        for slur in voice.slurs:
            self._slurs[slur.first].append(slur)
        for tuplet in voice.tuplets:
            self._tuplets[tuplet.first].append(tuplet)

    def count(self) -> int:
        """How many bars it has."""
        return len(self.voice.bars)

    def events(self, bar: int) -> range:
        """The indices of a bar's events."""
        bars = self.voice.bars
        end = bars[bar + 1].first if bar + 1 < len(bars) else len(self.voice.events)
        return range(bars[bar].first, end)

    def bar(self, index: int, state: VoiceState) -> str:
        """Write a bar, moving the state on."""
        words: list[str] = []
        events = self.events(index)
        for at in events:
            words += self.changes.get((index, at), ())
            words.append(self._event(at, state))
        words += self.changes.get((index, events.stop), ())
        return _joined(words)

    def _event(self, at: int, state: VoiceState) -> str:
        event = self.voice.events[at]
        dynamic = f"dynamic({event.dynamic}) " if event.dynamic else ""
        opened = dynamic + "".join(self._open(at, state))
        words = []
        if event.graces:
            words.append(self._graces(event.graces))
        value = self._value(event)
        if value is not None and value != state.value:
            words.append(show_value(value))
            state.value = value
        words.append(event_text(event.heads, event.silence, event.marks, event.label, self.own))
        return opened + " ".join(words) + self._close(at, state)

    def _value(self, event: Event) -> Fraction | None:
        if event.value is not None:
            return event.value
        if self.bare or music_in_bar(self.score, event.bar):
            return None
        bar = self.score.bars[event.bar]
        fits = 0 < event.duration <= LONGEST_VALUE and event.duration.denominator <= SMALLEST_VALUE
        return event.duration if bar.expected is None and fits else None

    def _graces(self, graces: Sequence[Grace]) -> str:
        words = []
        value = _GRACE_VALUE
        for grace in graces:
            if grace.value != value:
                words.append(show_value(grace.value))
                value = grace.value
            words.append(event_text(grace.heads, None, grace.marks, grace.label, self.own))
        return f"grace({' '.join(words)})"

    def _open(self, at: int, state: VoiceState) -> list[str]:
        """Open what begins here, the longest first; a slur that continues one is open already."""
        starting = [] if at in self._ends else self._slurs[at]
        # Tuplets over the same notes keep their order, outer first; a slur stands outside them.
        groups: list[Tuplet | Slur] = [*starting, *self._tuplets[at]]
        return [_opening(group, state) for group in sorted(groups, key=lambda each: -each.last)]

    def _close(self, at: int, state: VoiceState) -> str:
        """Close what ends here; a slur that begins here continues the outermost of them."""
        following = self._slurs[at] if at in self._ends else []
        text = ""
        while state.open and state.open[-1][0].last == at:
            group, value = state.open.pop()
            text += ")"
            if isinstance(group, Tuplet):
                state.value = value
        if following and text:
            state.open.append((following[0], state.value))
            text += "("
        return text


def _joined(words: Iterable[str]) -> str:
    """Join words by spaces; nothing stands after the `(` of a slur that goes on."""
    text = ""
    for word in words:
        text += word if not text or text.endswith(")(") else f" {word}"
    return text


def _opening(group: Tuplet | Slur, state: VoiceState) -> str:
    state.open.append((group, state.value))
    return f"{group.actual}:{group.normal}(" if isinstance(group, Tuplet) else "slur("
