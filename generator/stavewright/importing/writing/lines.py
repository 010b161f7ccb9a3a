"""Whole voices as lines of a block, one line a bar."""

from bisect import bisect
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from stavewright.importing.model import Sound
from stavewright.importing.remains import Remains
from stavewright.importing.select import Bar
from stavewright.importing.writing.changes import Word
from stavewright.importing.writing.groups import (
    Group,
    SlurSpan,
    are_whole,
    groups_in,
    writable_slurs,
)
from stavewright.importing.writing.sounds import filled
from stavewright.importing.writing.tokens import grace_text, sound_text
from stavewright.importing.writing.voices import Lane
from stavewright.notation.values import show_value


@dataclass(slots=True)
class VoiceText:
    """A voice, ready to be written."""

    lane: Lane
    bars: list[range] = field(default_factory=list)
    """The indices of each bar's sounds."""
    sounds: list[Sound] = field(default_factory=list)
    groups: list[Group] = field(default_factory=list)
    slurs: tuple[SlurSpan, ...] = ()


def voice_of(bars: Sequence[Bar], lane: Lane, remains: Remains, *, is_first: bool) -> VoiceText:
    """Gather a voice over all bars; `is_first` of its staff prints a rest where it is silent."""
    voice = VoiceText(lane)
    for bar in bars:
        remains.bar = bar.indices.start
        here = [
            stream
            for stream in bar.measure.streams
            if stream.staff == lane.staff and stream.name in lane.streams
        ]
        sounds = here[0].sounds if here else ()
        nobody = not any(stream.staff == lane.staff for stream in bar.measure.streams)
        found = filled(sounds, bar.measure.length, printed=is_first and nobody)
        first = len(voice.sounds)
        groups = groups_in(found)
        if not are_whole(found, groups):
            remains.leave(
                "incomplete group in a ratio", lane.staff, many="incomplete groups in a ratio"
            )
        voice.groups += [replace(g, first=g.first + first, last=g.last + first) for g in groups]
        for sound in found:
            if sound.cross:
                many = "notes printed on another staff of their part"
                remains.leave("note printed on another staff of its part", lane.staff, many=many)
        voice.sounds += found
        voice.bars.append(range(first, len(voice.sounds)))
    _tie(voice, bars, remains)
    _slur(voice, bars, remains)
    return voice


def _bar_of(voice: VoiceText, index: int) -> int:
    """The bar that a sound stands in; no bar is without sounds."""
    return bisect(voice.bars, index, key=lambda here: here.start) - 1


def _tie(voice: VoiceText, bars: Sequence[Bar], remains: Remains) -> None:
    """Keep the ties that the next sound of the voice takes up."""
    for index, sound in enumerate(voice.sounds):
        if not any(tone.tied for tone in sound.tones):
            continue
        is_last = index + 1 == len(voice.sounds)
        after = () if is_last else voice.sounds[index + 1].tones
        sounding = {tone.sound for tone in after}
        kept = tuple(replace(t, tied=t.tied and t.sound in sounding) for t in sound.tones)
        lost = sum(a.tied and not b.tied for a, b in zip(sound.tones, kept, strict=True))
        remains.bar = bars[_bar_of(voice, index)].indices.start
        for _ in range(lost):
            if is_last:
                remains.leave("tie cut by the end", voice.lane.staff, many="ties cut by the end")
            else:
                remains.leave(
                    "tie to no next note of its voice",
                    voice.lane.staff,
                    many="ties to no next note of their voice",
                )
        voice.sounds[index] = replace(sound, tones=kept)


def _slur(voice: VoiceText, bars: Sequence[Bar], remains: Remains) -> None:
    """Pair the ends of slurs, and keep those that brackets can show."""
    open_: dict[str, int] = {}
    found: list[SlurSpan] = []
    lost: list[int] = []
    for index, sound in enumerate(voice.sounds):
        for name in sorted(sound.slurs_to):
            if name in open_:
                found.append(SlurSpan(open_.pop(name), index))
            else:
                lost.append(index)
        for name in sorted(sound.slurs_from):
            if name in open_:
                lost.append(open_[name])
            open_[name] = index
    lost += open_.values()
    for index in sorted(lost):
        remains.bar = bars[_bar_of(voice, index)].indices.start
        remains.leave(
            "slur with one end in the excerpt or in its voice",
            voice.lane.staff,
            many="slurs with one end in the excerpt or in their voice",
        )
    voice.slurs = writable_slurs(found, voice.groups)
    for slur in found:
        if slur not in voice.slurs:
            remains.bar = bars[_bar_of(voice, slur.first)].indices.start
            remains.leave(
                "slur that crosses another bracket",
                voice.lane.staff,
                many="slurs that cross another bracket",
            )


def voice_lines(
    voice: VoiceText, words: Mapping[int, Sequence[Word]], signs: Sequence[str]
) -> Iterator[str]:
    """The lines of a voice; what it can place of `words` stands in them."""
    writer = _Writer(voice)
    for number, here in enumerate(voice.bars):
        opening = f"{signs[0]} " if number == 0 and signs[0] else ""
        text = writer.bar(here, words.get(number, ()))
        yield f"{voice.lane.name}: {opening}{text} {signs[number + 1]}"


class _Writer:
    """Writes bars in order; slurs stay open from one to the next."""

    def __init__(self, voice: VoiceText) -> None:
        self._voice = voice
        self._open: list[Group | SlurSpan] = []

    def bar(self, here: range, words: Sequence[Word]) -> str:
        waiting = sorted(words, key=lambda word: word.at)
        text = ""
        for index in here:
            sound = self._voice.sounds[index]
            while waiting and waiting[0].at <= sound.at:
                text = _spaced(text, waiting.pop(0).text)
            text = _spaced(text, self._sound(index))
        for word in waiting:
            text = _spaced(text, word.text)
        return text

    def _sound(self, index: int) -> str:
        sound = self._voice.sounds[index]
        dynamic = f"dynamic({sound.dynamic}) " if sound.dynamic else ""
        value = "" if sound.value is None else f"{show_value(sound.value)} "
        opened = self._opened(index)
        body = f"{grace_text(sound.graces)}{value}{sound_text(sound)}"
        return dynamic + opened + body + self._closed(index)

    def _opened(self, index: int) -> str:
        ends = {slur.last for slur in self._voice.slurs}
        slurs = [s for s in self._voice.slurs if s.first == index and index not in ends]
        groups = [group for group in self._voice.groups if group.first == index]
        starting: list[Group | SlurSpan] = [*slurs, *groups]
        starting.sort(key=lambda each: -each.last)
        self._open += starting
        return "".join(_bracket(each) for each in starting)

    def _closed(self, index: int) -> str:
        text = ""
        while self._open and self._open[-1].last == index:
            self._open.pop()
            text += ")"
        goes_on = [s for s in self._voice.slurs if s.first == index] if text else []
        ends = any(slur.last == index for slur in self._voice.slurs)
        if goes_on and ends:
            self._open.append(goes_on[0])
            text += "("
        return text


def _bracket(each: Group | SlurSpan) -> str:
    return f"{each.actual}:{each.normal}(" if isinstance(each, Group) else "slur("


def _spaced(text: str, word: str) -> str:
    return text + word if not text or text.endswith(")(") else f"{text} {word}"
