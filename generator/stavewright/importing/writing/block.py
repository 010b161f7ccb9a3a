"""An excerpt as a block: its fields, its voices, its symbols and words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from stavewright.importing.model import Piece
from stavewright.importing.remains import Remains
from stavewright.importing.select import Bar
from stavewright.importing.writing.changes import (
    Timing,
    Word,
    by_place,
    clef_words,
    ending_words,
    key_words,
    signs,
    tempo_words,
    timing,
)
from stavewright.importing.writing.keys import Keys, keys_of
from stavewright.importing.writing.lines import VoiceText, voice_lines, voice_of
from stavewright.importing.writing.symbol_lines import figures_in, symbol_lines
from stavewright.importing.writing.verses import verses_of
from stavewright.importing.writing.voices import lanes
from stavewright.notation import parse_block, print_score
from stavewright.notation.clefs import PERCUSSION
from stavewright.notation.score import Score, Tempo, Words
from stavewright.notation.values import show_tempo, show_value


@dataclass(frozen=True, slots=True)
class Excerpt:
    """What is to be written of a piece."""

    piece: Piece
    bars: tuple[Bar, ...]
    """All bars of the piece."""
    first: int
    stop: int
    staves: tuple[int, ...]
    """Indices of the chosen staves, in order."""

    @property
    def chosen(self) -> tuple[Bar, ...]:
        """The bars of the excerpt."""
        return self.bars[self.first : self.stop]

    @property
    def is_whole(self) -> bool:
        """Whether no bar is left out."""
        return self.first == 0 and self.stop == len(self.bars)


def block_text(excerpt: Excerpt, remains: Remains) -> str:
    """The excerpt as a block in the canonical form; notes in `remains` what cannot be said."""
    times = timing(excerpt.chosen, remains)
    kept = lanes([bar.measure for bar in excerpt.chosen], excerpt.piece.staves, excerpt.staves)
    opening_staves = [lane.staff for lane in kept]
    voices = [
        voice_of(excerpt.chosen, lane, remains, is_first=lane.staff not in opening_staves[:number])
        for number, lane in enumerate(kept)
    ]
    named = _named(excerpt, voices)
    keys = keys_of(excerpt.bars, excerpt.first, excerpt.stop, remains)
    rows = [*_fields(excerpt, named, times, keys), *_timed(excerpt, named, times, keys)]
    score = parse_block("\n".join(rows)).score
    return print_score(_with_words(score, named, remains))


def _with_words(score: Score, voices: Sequence[VoiceText], remains: Remains) -> Score:
    found: list[Words] = []
    for text in voices:
        voice = next((each for each in score.voices if each.name == text.lane.name), None)
        if voice is not None and len(voice.events) == len(text.sounds):
            found += verses_of(text, voice, remains)
    return replace(score, words=tuple(found))


def _named(excerpt: Excerpt, voices: list[VoiceText]) -> list[VoiceText]:
    """One voice alone that sounds as it is printed needs no staves and no name of its own."""
    if len(voices) != 1:
        return voices
    staff = excerpt.piece.staves[voices[0].lane.staff]
    if staff.transposition is None:
        name = "drums" if staff.percussion else "notes"
        voices[0].lane = replace(voices[0].lane, name=name)
    return voices


def _is_declared(voices: Sequence[VoiceText]) -> bool:
    return [voice.lane.name for voice in voices] not in (["notes"], ["drums"])


def _fields(
    excerpt: Excerpt, voices: Sequence[VoiceText], times: Timing, keys: Keys
) -> Iterator[str]:
    piece = excerpt.piece
    if piece.title:
        yield f"title: {_line(piece.title)}{_bars_named(excerpt)}"
    if keys.opening is not None:
        yield f"key: {keys.opening}"
    if times.meter is not None:
        yield f"time: {times.meter}"
    tempo = _tempo(excerpt)
    if tempo is not None:
        yield f"tempo: {show_tempo(tempo)}"
    if piece.swing is not None:
        yield f"swing: {piece.swing}"
    if times.pickup is not None:
        yield f"pickup: {show_value(times.pickup)}"
    yield from _staves(excerpt, voices)
    for source in piece.sources:
        yield f"source: {_line(source)}"
    for credit in piece.credits:
        yield f"credit: {_line(credit)}"
    if piece.rights:
        yield f"rights: {_line('; '.join(piece.rights))}"


def _line(text: str) -> str:
    return " ".join("".join(sign for sign in text if sign.isprintable()).split())


def _bars_named(excerpt: Excerpt) -> str:
    if excerpt.is_whole:
        return ""
    first, last = (excerpt.chosen[place].number for place in (0, -1))
    return f", bar {first}" if first == last else f", bars {first}–{last}"


def _staves(excerpt: Excerpt, voices: Sequence[VoiceText]) -> Iterator[str]:
    if not _is_declared(voices):
        clef = _opening_clef(excerpt, voices[0].lane.staff)
        if voices[0].lane.name == "notes" and clef != "treble":
            yield f"clef: {clef}"
        return
    words = []
    for staff in excerpt.staves:
        names = [voice.lane.name for voice in voices if voice.lane.staff == staff]
        clef = _opening_clef(excerpt, staff)
        words.append(f"{'drums' if clef == PERCUSSION else clef}({' '.join(names)})")
    yield f"staves: {' '.join(words)}"
    moved = []
    for voice in voices:
        interval = excerpt.piece.staves[voice.lane.staff].transposition
        if interval is not None:
            moved.append(f"{voice.lane.name} {interval.short}")
    if moved:
        yield f"transposes: {', '.join(moved)}"


def _opening_clef(excerpt: Excerpt, staff: int) -> str:
    """The clef in force where the excerpt begins."""
    part = excerpt.piece.staves[staff]
    clef = part.clef
    if part.percussion:
        return PERCUSSION
    for index, bar in enumerate(excerpt.bars[: excerpt.first + 1]):
        for placed in bar.measure.clefs:
            if placed.staff == staff and (index < excerpt.first or placed.at == 0):
                clef = placed.what
    return "treble" if clef == PERCUSSION else clef


def _tempo(excerpt: Excerpt) -> Tempo | None:
    """The tempo in force: the last one printed, else how fast the file plays itself."""
    before = excerpt.bars[: excerpt.first]
    here = excerpt.chosen[0]
    printed = [placed.what for bar in before for placed in bar.measure.tempos]
    printed += [placed.what for placed in here.measure.tempos if placed.at == 0]
    played = [placed.what for bar in before for placed in bar.measure.playback]
    played += [placed.what for placed in here.measure.playback if placed.at == 0]
    return next(iter([*reversed(printed), *reversed(played)]), None)


def _timed(
    excerpt: Excerpt, voices: Sequence[VoiceText], times: Timing, keys: Keys
) -> Iterator[str]:
    bars = excerpt.chosen
    yield from symbol_lines(
        "chords", bars, lambda bar: bar.measure.chords, gap="space", runs_on=True
    )
    if keys.opening is not None:
        yield from symbol_lines(
            "numerals", bars, lambda bar: bar.measure.numerals, gap="rest", runs_on=False
        )
    words = [
        *ending_words(bars),
        *key_words(keys.changes, keys.opening),
        *times.words,
        *tempo_words(bars, _tempo(excerpt)),
    ]
    for staff in excerpt.staves:
        if not excerpt.piece.staves[staff].percussion:
            words += clef_words(bars, staff, _opening_clef(excerpt, staff))
    given = _given(words, voices)
    lines = signs(bars, ends_piece=excerpt.stop == len(excerpt.bars))
    plain = ["", *("|" for _ in bars)]
    for number, voice in enumerate(voices):
        mine = by_place([word for word, to in given if to is voice])
        yield from voice_lines(voice, mine, plain if number else lines)
    yield from symbol_lines("bass-figures", bars, figures_in, gap="rest", runs_on=False)


def _given(words: Sequence[Word], voices: Sequence[VoiceText]) -> list[tuple[Word, VoiceText]]:
    """A voice for each change: one in which something begins at its moment, else the first."""
    found = []
    for word in words:
        able = [v for v in voices if word.staff is None or v.lane.staff == word.staff]
        exact = (v for v in able if any(v.sounds[i].at == word.at for i in v.bars[word.bar]))
        voice = next(exact, able[0] if able else None)
        if voice is not None:
            found.append((word, voice))
    return found
