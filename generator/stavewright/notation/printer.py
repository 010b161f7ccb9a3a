"""Writes a Score as a music block again; reading that block gives an equal Score.

Fields come first, then chords and numerals, the voices with their words, the figured bass, and at
the end what is said below the figure.
"""

from collections.abc import Callable, Iterator, Sequence
from typing import Final, TypeVar

from stavewright.notation.labels import quoted
from stavewright.notation.passage import PLAIN_SIGNS
from stavewright.notation.print_changes import PlacedWords, place_changes
from stavewright.notation.print_symbols import (
    FigureWriter,
    SymbolWriter,
    chord_entries,
    numeral_entries,
)
from stavewright.notation.print_voice import VoiceState, VoiceWriter
from stavewright.notation.score import (
    BarSign,
    Score,
    Staff,
    Syllable,
    Tuning,
    View,
    Voice,
    Words,
)
from stavewright.notation.values import show_decimal, show_tempo, show_value

_WIDTH: Final = 88
"""Where a long line is ended and begun anew."""
_ENDS_ENDING: Final = (BarSign.REPEAT_END, BarSign.DOUBLE, BarSign.FINAL)
T = TypeVar("T")


def print_score(score: Score) -> str:
    """Give the canonical block text, one line a voice for every few bars, without a line end."""
    return "\n".join([*_head(score), *_timed(score), *_foot(score)])


def _head(score: Score) -> Iterator[str]:
    yield from _field("title", score.title, str)
    yield from _field("key", score.key, str)
    yield from _field("time", score.meter, str)
    yield from _field("tempo", score.tempo, show_tempo)
    yield from _field(
        "swing", score.swing, lambda each: f"{show_value(each.unit)} {each.long}:{each.short}"
    )
    yield from _field("pickup", score.pickup, show_value)
    declared = [_staff(staff) for staff in score.staves if staff.declared]
    yield from _field("staves", " ".join(declared) or None, str)
    yield from _field("clef", score.clef, str)
    moved = [
        f"{voice.name} {voice.transposition.short}"
        for voice in score.voices
        if voice.transposition is not None
    ]
    yield from _field("transposes", ", ".join(moved) or None, str)
    yield from _field("scale", score.scale, str)
    yield from _field("tuning", score.tuning, _tuning)
    yield from _field("strings", " ".join(map(str, score.strings)) or None, str)


def _foot(score: Score) -> Iterator[str]:
    yield from _field("style", score.style, str)
    yield from _field("show", " ".join(map(_view, score.show)) or None, str)
    yield from _field("caption", score.caption, str)
    for source in score.sources:
        yield f"source: {source}"
    for credit in score.credits:
        yield f"credit: {credit}"
    yield from _field("rights", score.rights, str)
    for accept in score.accepts:
        yield f"accept: {accept.rule} because {accept.reason}"


def _field(word: str, value: T | None, show: Callable[[T], str]) -> Iterator[str]:
    if value is not None:
        yield f"{word}: {show(value)}"


def _staff(staff: Staff) -> str:
    clef = "drums" if staff.clef == "percussion" else staff.clef
    return f"{clef}({' '.join(staff.voices)})"


def _tuning(tuning: Tuning) -> str:
    return f"{tuning.reference} {show_decimal(tuning.hertz)}, {tuning.steps} equal"


def _view(view: View) -> str:
    return f"{view.name}({view.options})" if view.options else view.name


def _timed(score: Score) -> Iterator[str]:
    placed = place_changes(score)
    yield from _symbols(score, placed)
    for voice in score.voices:
        yield from _voice(score, voice, placed)
        for words in score.words:
            if words.voice == voice.name:
                yield from _words(score, voice, words)
    if not score.voices:
        for words in score.words:
            yield from _words(score, None, words)
    figures = FigureWriter(score)
    texts = [figures.bar(index) for index in range(figures.count())]
    yield from _rows("bass-figures", texts, ["|"] * (len(texts) + 1), texts)


def _symbols(score: Score, placed: PlacedWords) -> Iterator[str]:
    chords = chord_entries(score, placed.chords)
    writer = SymbolWriter(score, score.chord_bars, chords, (), placed.chords)
    yield from _symbol_line(score, "chords", writer)
    numerals = numeral_entries(score)
    writer = SymbolWriter(score, score.numeral_bars, numerals, chords, {})
    yield from _symbol_line(score, "numerals", writer)


def _symbol_line(score: Score, word: str, writer: SymbolWriter) -> Iterator[str]:
    texts = [_with_ending(score, index, writer.bar(index)) for index in range(writer.count())]
    yield from _rows(word, texts, _signs(score), writer.entries)


def _rows(
    word: str, texts: Sequence[str], signs: Sequence[str], content: Sequence[object]
) -> Iterator[str]:
    """Write bars that depend on nothing before them; a line ends between two full bars only."""
    if not texts:
        return
    line = _opening(signs[0], bool(content[0]))
    for index, text in enumerate(texts):
        full = index > 0 and content[index] and content[index - 1]
        if full and len(line) + len(text) + len(word) > _WIDTH:
            yield f"{word}: {line}".rstrip()
            line = ""
        line += f"{text} " if text else ""
        if index + 1 < len(texts) or signs[index + 1] != "|" or not content[index]:
            line += f"{signs[index + 1]} "
    yield f"{word}: {line}".rstrip()


def _opening(sign: str, full: bool) -> str:
    """The sign before the first bar: needed for a repeat, and before an empty bar."""
    return f"{sign} " if sign != "|" or not full else ""


def _signs(score: Score) -> list[str]:
    """The sign at each boundary of bars, the first and the last included."""
    signs = []
    for index in range(len(score.bars) + 1):
        closing = score.bars[index - 1].closing if index else BarSign.SINGLE
        opens = index < len(score.bars) and score.bars[index].opening is BarSign.REPEAT_START
        sign = closing
        if opens:
            is_end = closing is BarSign.REPEAT_END
            sign = BarSign.REPEAT_BOTH if is_end else BarSign.REPEAT_START
        signs.append(sign.value)
    return signs


def _with_ending(score: Score, index: int, text: str) -> str:
    """Write the ending that begins with a bar."""
    bar = score.bars[index]
    before = score.bars[index - 1] if index else None
    goes_on = before and before.ending == bar.ending and before.closing not in _ENDS_ENDING
    if not bar.ending or goes_on:
        return text
    return f"ending({' '.join(map(str, bar.ending))}) {text}".rstrip()


def _voice(score: Score, voice: Voice, placed: PlacedWords) -> Iterator[str]:
    writer = VoiceWriter(score, voice, placed.voices[voice.name])
    if not writer.count():
        if not score.staves[voice.staff].declared:
            yield f"{voice.name}: |"
        return
    signs = _signs(score)
    state = VoiceState()
    line = _opening(signs[0], bool(writer.events(0)))
    for index in range(writer.count()):
        before = VoiceState(state.value, list(state.open))
        text = _with_ending(score, index, writer.bar(index, state))
        full = index > 0 and writer.events(index) and writer.events(index - 1)
        if full and len(line) + len(text) + len(voice.name) > _WIDTH:
            yield f"{voice.name}: {line}".rstrip()
            line = ""
            state = VoiceState(None, before.open)
            text = _with_ending(score, index, writer.bar(index, state))
        line += f"{text} " if text else ""
        if index + 1 < writer.count() or signs[index + 1] != "|" or not writer.events(index):
            line += f"{signs[index + 1]} "
    yield f"{voice.name}: {line}".rstrip()


def _words(score: Score, voice: Voice | None, words: Words) -> Iterator[str]:
    default = score.voices[0].name if score.voices else "notes"
    place = [words.voice] if words.voice != default else []
    place += [str(words.verse)] if words.verse != 1 else []
    opening = f"words({' '.join(place)}):" if place else "words:"
    line = opening
    bar: int | None = None
    for syllable in words.syllables:
        text = _syllable(syllable)
        event = None if syllable.event is None or voice is None else voice.events[syllable.event]
        crossed = event is not None and bar is not None and event.bar != bar
        bar = event.bar if event else None
        if len(line) + len(text) > _WIDTH and line != opening:
            yield line
            line = opening
        elif crossed:
            text = f"| {text}"
        line += f" {text}"
    yield line


def _syllable(syllable: Syllable) -> str:
    if syllable.gap:
        return "rest"
    if not syllable.text and not syllable.hyphen:
        return "."
    plain = syllable.text.translate(PLAIN_SIGNS)
    literal = plain in ("", ".", "rest") or (plain.endswith("-") and len(plain) > 1)
    literal = literal or plain.startswith("//") or any(sign in plain for sign in ' "|\n')
    literal = literal or any(sign.isspace() for sign in plain) or (plain == "-" and syllable.hyphen)
    text = quoted(syllable.text) if literal else syllable.text
    return text + ("-" if syllable.hyphen else "")
