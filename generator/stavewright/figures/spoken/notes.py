"""A Score note by note: at each moment what begins, voice by voice from the top, and what is held.

Bar by bar each voice is read along; here the score is read upright, as a musician reads a chord.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from stavewright.figures.spoken.places import bar_name, place_name
from stavewright.figures.spoken.reading import Reading, ToldEvent
from stavewright.figures.spoken.tones import listed, pitch_words
from stavewright.figures.spoken.whole import after_bar, before_bar
from stavewright.figures.timeline import bar_origin
from stavewright.notation.score import Event, Score
from stavewright.theory.pitch import Pitch

MOST: Final = 240
"""Moments that are said one by one; a longer piece is read bar by bar from there on."""


class _Moment(NamedTuple):
    """A time at which anything begins; in the order they come."""

    bar: int
    at: int
    """In parts of a whole note, see `Reading`."""
    place: int
    """Tells bare note heads apart, which take no time."""


def speak_notes(score: Score, reading: Reading | None = None) -> tuple[str, ...]:
    """One sentence for each moment at which something begins. The notes are written out.

    `reading` is the score's own, if it is at hand; it is not worked out again then.
    """
    reading = reading or Reading.of(score)
    moments = _moments(reading)
    symbols = _symbols_by_time(reading)
    count = min(MOST, len(moments))
    said = [_sentence(reading, moments, place, symbols) for place in range(count)]
    if len(moments) > MOST:
        name = bar_name(score, moments[MOST].bar)
        said.append(f"From {name[:1].lower()}{name[1:]} on, read it bar by bar.")
    return tuple(said)


def _moments(reading: Reading) -> list[_Moment]:
    found = {
        _Moment(bar, told.start, 0 if told.start < told.end else told.index)
        for bar, row in reading.events.items()
        for told in row
    }
    begun = {(moment.bar, moment.at) for moment in found}
    for at in {symbol.at for line in reading.lines for symbol in line}:
        bar_there = _measured_bar(reading, at)
        if bar_there is not None and (bar_there, at) not in begun:
            found.add(_Moment(bar_there, at, 0))
    return sorted(found)


def _measured_bar(reading: Reading, at: int) -> int | None:
    """The bar in which a moment lies; none among bare note heads."""
    for index, (start, end) in enumerate(reading.limits):
        if start <= at < end and reading.score.bars[index].meter is not None:
            return index
    return None


def _symbols_by_time(reading: Reading) -> Mapping[int, Sequence[str]]:
    """The chord symbols, numerals and figures that begin at a time, in words."""
    found: dict[int, list[str]] = {}
    for line in reading.lines:
        for symbol in line:
            if symbol.words:
                found.setdefault(symbol.at, []).append(symbol.words)
    return found


def _sentence(
    reading: Reading, moments: Sequence[_Moment], place: int, symbols: Mapping[int, Sequence[str]]
) -> str:
    """One moment: where it is, what changes there, what begins, what goes on."""
    here = moments[place]
    bar = reading.score.bars[here.bar]
    row = reading.events.get(here.bar, ())
    parts = [*_beginning(reading, here, row), *_held(reading, here, row)]
    if place == 0 or moments[place - 1].bar != here.bar:
        parts = before_bar(reading, here.bar) + parts
    if not here.place or bar.meter is None:
        parts += symbols.get(here.at, ())
    if place + 1 == len(moments) or moments[place + 1].bar != here.bar:
        parts += after_bar(bar)
    where = _where(reading, here, place)
    return f"{where[:1].upper()}{where[1:]}: {'; '.join(parts) or 'silence'}."


def _where(reading: Reading, here: _Moment, place: int) -> str:
    score = reading.score
    bar = score.bars[here.bar]
    if bar.meter is not None:
        inside = here.at - reading.count(bar_origin(score, here.bar))
        return place_name(bar, inside, reading.parts)
    name = bar_name(score, here.bar)
    return f"{name}, {place + 1}" if name else str(place + 1)


def _beginning(reading: Reading, here: _Moment, row: Sequence[ToldEvent]) -> Iterator[str]:
    """What each voice begins at the moment."""
    for told in row:
        is_its_place = told.start < told.end or told.index == here.place
        if told.start == here.at and is_its_place and told.words:
            name = reading.names[told.voice]
            # A snare in the snare's voice needs no other name.
            needs_none = reading.goes_unnamed or told.words.startswith(name)
            yield told.words if needs_none else f"{name}, {told.words}"


def _held(reading: Reading, here: _Moment, row: Sequence[ToldEvent]) -> Iterator[str]:
    """What began before in the bar and goes on."""
    held = []
    for told in row:
        if told.start < here.at < told.end and (pitches := _pitches(told.event)):
            name = "" if len(reading.names) == 1 else f"{reading.names[told.voice]} "
            held.append(f"{name}{listed(pitches)}")
    if held:
        yield f"held on: {', '.join(held)}"


def _pitches(event: Event) -> list[str]:
    """What an event holds; percussion is struck and gone."""
    return [pitch_words(head.sound) for head in event.heads if isinstance(head.sound, Pitch)]
