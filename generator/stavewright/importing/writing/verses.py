"""Syllables under the notes they are sung on."""

from collections.abc import Iterator, Sequence

from stavewright.importing.model import Sound, Sung
from stavewright.importing.remains import Remains
from stavewright.importing.writing.lines import VoiceText
from stavewright.notation.limits import LONGEST_LABEL
from stavewright.notation.resolve_voices import onsets
from stavewright.notation.score import Syllable, Voice, Words


def verses_of(text: VoiceText, voice: Voice, remains: Remains) -> Iterator[Words]:
    """The verses of a voice; `voice` is `text` as the parser read it."""
    starts = onsets(voice.events)
    _miss(text, set(starts), remains)
    numbers = sorted({each.verse for sound in text.sounds for each in sound.sung})
    for number in numbers:
        syllables = tuple(_verse(text.sounds, starts, number))
        if any(syllable.text for syllable in syllables):
            yield Words(voice.name, number, syllables)


def _miss(text: VoiceText, starts: set[int], remains: Remains) -> None:
    """A syllable under a note that is held on has no place in a line of words."""
    for index, sound in enumerate(text.sounds):
        if sound.sung and index not in starts:
            for _ in sound.sung:
                remains.leave(
                    "syllable under a held note", text.lane.staff, many="syllables under held notes"
                )


def _verse(sounds: Sequence[Sound], starts: Sequence[int], number: int) -> Iterator[Syllable]:
    before: Sung | None = None
    last = -1
    for index in starts:
        sung = next((each for each in sounds[index].sung if each.verse == number), None)
        if sung is not None:
            yield Syllable(_clean(sung.text), sung.hyphen, index)
            before = sung
        else:
            # A note without a syllable sings the last one on, unless a rest came between.
            rested = any(not s.tones for s in sounds[last + 1 : index])
            held = before is not None and (before.hyphen or not rested)
            yield Syllable("", False, index, gap=not held)
            before = before if held else None
        last = index


def _clean(text: str) -> str:
    return text[:LONGEST_LABEL].rstrip("\\") or "\u00a0"
