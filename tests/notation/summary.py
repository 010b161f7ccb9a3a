"""A Score and its findings in a few lines, for test files that a musician can read."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

from stavewright.notation.event_text import event_text
from stavewright.notation.score import Bar, BarSign, Event, Score, Voice

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stavewright.notation import Block

_FIELDS = (
    *("title", "caption", "style", "rights", "sources", "credits", "key", "meter", "tempo"),
    *("swing", "pickup", "tuning", "strings", "scale", "clef", "show", "accepts"),
)


def summary(block: Block) -> str:
    return "\n".join([*_findings(block), *_score(block.score)])


def _findings(block: Block) -> Iterator[str]:
    for found in block.findings:
        span = found.span
        suggestion = "" if found.suggestion is None else f" => {found.suggestion!r}"
        place = f"{span.line}:{span.column}-{span.end_column}"
        yield f"! {place} {found.rule}: {found.message}{suggestion}"


def _score(score: Score) -> Iterator[str]:
    for name in _FIELDS:
        value = getattr(score, name)
        if value not in (None, ()):
            yield f"{name} = {_plain(value)}"
    if score.bars:
        yield "bars = " + "  ".join(_bar(bar) for bar in score.bars)
    for voice in score.voices:
        yield from _voice(score, voice)
    for kind in ("key", "meter", "tempo", "clef"):
        for change in getattr(score, f"{kind}_changes"):
            staff = f" staff {change.staff}" if kind == "clef" else ""
            yield f"{kind} at {change.at}{staff} = {_plain(getattr(change, kind))}"
    yield from _symbols(score)


def _plain(value: object) -> str:
    if isinstance(value, tuple):
        return ", ".join(_plain(each) for each in value)
    if type(value).__name__ in ("Tempo", "Swing", "Tuning", "View", "Accept"):
        shown = [getattr(value, each.name) for each in fields(value) if each.compare]
        return "(" + ", ".join(str(each) for each in shown) + ")"
    return str(value)


def _bar(bar: Bar) -> str:
    opening = "" if bar.opening is BarSign.SINGLE else f"{bar.opening.value} "
    closing = "" if bar.closing is BarSign.SINGLE else f" {bar.closing.value}"
    ending = f"[{','.join(map(str, bar.ending))}]" if bar.ending else ""
    free = "" if bar.expected is not None else "~"
    return f"{opening}{ending}{bar.number}:{bar.start}+{free}{bar.length}{closing}"


def _voice(score: Score, voice: Voice) -> Iterator[str]:
    staff = score.staves[voice.staff]
    moved = f" printed {voice.transposition.short}" if voice.transposition else ""
    declared = "" if staff.declared else " undeclared"
    yield f"{voice.name} on {staff.clef} {voice.staff}{declared}{moved}"
    for index, bar in enumerate(voice.bars):
        end = voice.bars[index + 1].first if index + 1 < len(voice.bars) else len(voice.events)
        events = "  ".join(_event(event) for event in voice.events[bar.first : end])
        yield f"    {bar.length}: {events}".rstrip()
    for tuplet in voice.tuplets:
        yield f"    {tuplet.actual}:{tuplet.normal} over {tuplet.first}-{tuplet.last}"
    for slur in voice.slurs:
        yield f"    slur over {slur.first}-{slur.last}"


def _event(event: Event) -> str:
    text = event_text(event.heads, event.silence, event.marks, event.label)
    graces = "".join(
        f"grace({grace.value} {event_text(grace.heads, None, grace.marks, grace.label)}) "
        for grace in event.graces
    )
    dynamic = f"dynamic({event.dynamic}) " if event.dynamic else ""
    value = "bare" if event.value is None and not event.fills_bar else event.value or "fills"
    lasting = "" if event.duration == event.value or not event.duration else f"={event.duration}"
    return f"{event.start} {dynamic}{graces}{text} {value}{lasting};"


def _symbols(score: Score) -> Iterator[str]:
    for index, bar in enumerate(score.chord_bars):
        end = _end(score.chord_bars, index, len(score.chords))
        chords = (
            f"{c.start} {c.text or 'N.C.'}{'' if c.label is None else repr(c.label)} {c.duration};"
            for c in score.chords[bar.first : end]
        )
        yield f"chords {bar.length}: {'  '.join(chords)}".rstrip()
    for index, bar in enumerate(score.numeral_bars):
        end = _end(score.numeral_bars, index, len(score.numerals))
        numerals = (
            f"{n.start} {n.text or 'gap'} {n.duration} in {n.key}"
            + (f" = {n.pivot} in {n.pivot_key}" if n.pivot else "")
            + ("" if n.label is None else f" {n.label!r}")
            + ";"
            for n in score.numerals[bar.first : end]
        )
        yield f"numerals {bar.length}: {'  '.join(numerals)}".rstrip()
    for words in score.words:
        sung = (
            f"{'(gap)' if s.gap else s.text or '(held)'}{'-' if s.hyphen else ''}@{s.event}"
            for s in words.syllables
        )
        yield f"words {words.voice} {words.verse}: {' '.join(sung)}"
    for event in score.bass_figures:
        figures = "&".join(f"{f.accidental}{f.number or ''}" for f in event.figures) or "none"
        yield f"figures {event.start} {figures} {event.duration}"


def _end(bars: tuple[object, ...], index: int, count: int) -> int:
    return bars[index + 1].first if index + 1 < len(bars) else count
