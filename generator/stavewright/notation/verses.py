"""Gathers the lines of words: which verse under which voice each of them is."""

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from stavewright.notation.limits import MOST_PASSES
from stavewright.notation.lines import Line
from stavewright.notation.near import listed, near
from stavewright.notation.passage import Passage
from stavewright.notation.report import Report
from stavewright.notation.score import Voice, Words
from stavewright.notation.words_line import Token, read_words, set_words

if TYPE_CHECKING:
    from stavewright.notation.source import Span


def read_verses(
    lines: Iterable[Line], voices: Sequence[Voice], report: Report
) -> tuple[Words, ...]:
    """Gather the verses: lines that name the same voice and verse continue one another."""
    if not voices:
        for line in lines:
            message = "Words stand under a voice, and this block has none; write its notes"
            report.add(line.word_span, message)
        return ()
    tokens: dict[tuple[str, int], list[Token]] = {}
    spans: dict[tuple[str, int], Span] = {}
    for line in lines:
        place = _place(line.argument, [voice.name for voice in voices], report)
        if place is None:
            continue
        tokens.setdefault(place, []).extend(read_words(line.value, report))
        spans.setdefault(place, line.word_span)
    by_name = {voice.name: voice for voice in voices}
    return tuple(
        Words(name, verse, set_words(said, by_name.get(name), report), spans[name, verse])
        for (name, verse), said in sorted(tokens.items(), key=lambda item: _order(item[0], voices))
        if any(not token.bar for token in said)
    )


def _order(place: tuple[str, int], voices: Sequence[Voice]) -> tuple[int, int]:
    """Verses in the order of their voices."""
    names = [voice.name for voice in voices]
    return (names.index(place[0]) if place[0] in names else len(names)), place[1]


def _place(
    argument: Passage | None, voices: Sequence[str], report: Report
) -> tuple[str, int] | None:
    """Read what stands after `words`: a voice, a verse, or both; None where it means neither."""
    if argument is None:
        return voices[0], 1
    voices_said: list[str] = []
    verses_said: list[int] = []
    known = True
    for found in re.finditer(r"[^\s,]+", argument.text):
        word, span = found[0], argument.span(*found.span())
        if word[0].isdecimal():
            verse = int(word) if re.fullmatch(r"[0-9]{1,4}", word) else 0
            if 1 <= verse <= MOST_PASSES:
                verses_said.append(verse)
            else:
                known = False
                report.add(span, f"Verses are numbered from 1 to {MOST_PASSES}")
        else:
            meant = word if word in voices else near(word, voices)
            if meant != word:
                message = f"No voice is called {word[:40]!r}; there are {listed(voices)}"
                report.add(span, message, meant)
            voices_said += [meant] if meant else []
            known = known and meant is not None
        if len(voices_said) > 1 or len(verses_said) > 1:
            report.add(span, "One line of words is one verse under one voice", "")
            break
    return ((*voices_said, voices[0])[0], (*verses_said, 1)[0]) if known else None
