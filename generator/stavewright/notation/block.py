"""From the text of a music block to its Score.

The road: lines, fields, the items of each timed line, rows of bars, one grid of bars for all rows,
and at last events in time. Nothing on it raises; whatever cannot be read becomes a finding.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from stavewright.notation.assemble import assemble
from stavewright.notation.fields import read_fields
from stavewright.notation.finding import Finding
from stavewright.notation.lines import Line, read_lines
from stavewright.notation.near import listed, near
from stavewright.notation.report import Report
from stavewright.notation.score import Score, Staff
from stavewright.notation.source import SourceText
from stavewright.notation.unread_sounds import NO_JUMPS
from stavewright.notation.vocabulary import FIELD_NAMES, JUMPS, LINE_NAMES, OTHER_LINE_WORDS

_UNDECLARED: Final = {"notes": "treble", "drums": "percussion"}
"""The voices that need no `staves:`, and the clef they stand on."""


@dataclass(frozen=True, slots=True)
class Block:
    """A music block, read."""

    source: SourceText
    score: Score
    findings: tuple[Finding, ...]
    """In the order of the text: rules `syntax`, `chord-symbol`, `numeral-symbol`, `key-unknown`."""


def parse_block(source: SourceText | str, file: str = "block") -> Block:
    """Read a music block. Never raises: what cannot be read is left out, with a finding.

    `file` names the file of a plain string; a SourceText brings its own.
    """
    text = SourceText.plain(source, file) if isinstance(source, str) else source
    report = Report()
    lines = read_lines(text, FIELD_NAMES, report)
    fields = read_fields([line for line in lines if line.word in FIELD_NAMES], report)
    timed = [line for line in lines if line.word not in FIELD_NAMES]
    staves, timed = _staves(fields.staves, fields.has_staves, timed, lines, report)
    score = assemble(fields, staves, timed, text.fence, report)
    return Block(text, score, report.findings)


def _staves(
    declared: tuple[Staff, ...],
    has_staves: bool,
    timed: list[Line],
    lines: Sequence[Line],
    report: Report,
) -> tuple[tuple[Staff, ...], list[Line]]:
    """Give each voice its staff, and see that every timed line is one that the block knows."""
    staves = list(declared)
    voices = [name for staff in declared for name in staff.voices]
    known: list[Line] = []
    written = {line.word for line in lines}
    for line in timed:
        word = line.word
        if word == "notes" and has_staves:
            message = f"The voices of this block are {listed(voices)}; `notes` needs no `staves`"
            meant = voices[0] if len(voices) == 1 else None
            report.add(line.word_span, message, meant)
            if meant and meant not in written:
                known.append(replace(line, word=meant))
            continue
        if word in _UNDECLARED and word not in voices:
            voices.append(word)
            staves.append(Staff(_UNDECLARED[word], (word,), declared=False))
        if word not in voices and word not in LINE_NAMES:
            meant = _unknown(line, voices, report)
            if meant is None or meant in written:
                continue
            line = replace(line, word=meant)
        known.append(line)
    return tuple(staves), known


def _unknown(line: Line, voices: Sequence[str], report: Report) -> str | None:
    """Say that a word is not known; the voice it was probably meant for."""
    if line.word.lower() in JUMPS:
        report.add(line.word_span, NO_JUMPS)
        return None
    words = (*voices, *FIELD_NAMES, *LINE_NAMES)
    meant = OTHER_LINE_WORDS.get(line.word.lower()) or near(line.word, words)
    message = f"{line.word[:40]!r} is no field, no line and no voice of this block"
    if meant is None and voices:
        message += f"; its voices are {listed(voices)}"
    report.add(line.word_span, message, meant)
    return meant if meant in voices else None
