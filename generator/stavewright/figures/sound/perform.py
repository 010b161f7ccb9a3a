"""From a Score to its performance.

First the page is read, in fractions: what each event sounds like with its marks carried out. Then a
clock is made that is fine enough for all of it, and everything is played by that clock in whole
numbers, as often as its bar comes.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import chain

from stavewright.figures.sound.clockwork import (
    Clock,
    Pass,
    held_tempos,
    passes,
    span,
    tempo_marks,
)
from stavewright.figures.sound.lights import lit_by_bare_heads, lit_in_bars, steadied
from stavewright.figures.sound.performance import Click, Lit, Performance, PlayedNote, TempoMark
from stavewright.figures.sound.playing import play_voice
from stavewright.figures.sound.untimed import (
    ALONE,
    bare_step,
    is_bare,
    is_tune,
    play_bare,
    play_symbols,
    under_tune,
)
from stavewright.figures.sound.voices import Sounding, soundings
from stavewright.figures.spoken.events import voice_words
from stavewright.figures.stretches import Stretch, stretches
from stavewright.figures.timeline import TempoMap, bar_origin
from stavewright.notation.realise import realise
from stavewright.notation.score import ChordEvent, NumeralEvent, Score
from stavewright.theory import Key, Meter

CONCERT_PITCH = Fraction(440)
"""Hertz of A4 (ISO 16)."""


def perform(score: Score) -> Performance:
    """Play a Score out, its scale or chord list written out first; silent where nothing sounds.

    Times are exact: the written time, then swing, then the note's own shift, through the tempos.
    A pitch sounds in twelve equal steps and its own cents, from the reference that `tuning:` names.
    """
    written = realise(score)
    tempos = held_tempos(written)
    shown = stretches(written)
    sounding = {
        place: voice
        for place, voice in enumerate(written.voices)
        if any(event.heads or event.graces for event in voice.events)
    }
    bare = {place: voice for place, voice in sounding.items() if is_bare(voice)}
    if bare and len(bare) == len(sounding):
        return _bare(written, tempos, shown)
    timed = {
        place: soundings(written, voice, tempos)
        for place, voice in sounding.items()
        if place not in bare
    }
    times = chain(
        _written(written),
        *(_played(events) for events in timed.values()),
        *((stretch.start, stretch.end) for stretch in shown),
    )
    clock = Clock.of(tempos, times)
    order = passes(written, clock)
    notes: list[PlayedNote] = []
    ornaments: list[Lit] = []
    for place, events in timed.items():
        steady, lights = steadied(*play_voice(events, place, order, clock))
        notes += steady
        ornaments += lights
    for place, voice in bare.items():
        notes += play_bare(voice, place, clock)
    names = tuple(voice_words(voice) for voice in written.voices)
    if not sounding:
        notes, names = play_symbols(written, order, clock, ALONE), ("chords",)
    elif written.chords and is_tune(written, clock):
        notes += play_symbols(written, order, clock, under_tune(written))
        names = (*names, "chords")
    return Performance(
        resolution=clock.resolution,
        voices=names,
        notes=_sorted(notes),
        clicks=tuple(_clicks(written, order, clock)),
        tempos=tempo_marks(order, clock),
        meters=tuple(_meters(written, order)),
        keys=tuple(_keys(written, order, clock)),
        a4=_a4(score),
        length=_length(notes, span(order, clock)),
        lit=(*lit_in_bars(shown, order, clock), *ornaments),
    )


def _bare(score: Score, tempos: TempoMap, shown: Sequence[Stretch]) -> Performance:
    """Bare heads alone: no bars, no beats."""
    clock = Clock.of(tempos, [bare_step(voice) for voice in score.voices])
    notes = [
        note for place, voice in enumerate(score.voices) for note in play_bare(voice, place, clock)
    ]
    return Performance(
        resolution=clock.resolution,
        voices=tuple(voice_words(voice) for voice in score.voices),
        notes=_sorted(notes),
        clicks=(),
        tempos=(TempoMark(0, tempos.tempos[0]),),
        meters=(),
        keys=() if score.key is None else ((0, score.key),),
        a4=_a4(score),
        length=_length(notes, 0),
        lit=lit_by_bare_heads(shown, score.voices[0], clock),
    )


def _written(score: Score) -> Iterator[Fraction]:
    """Moments of the page, and lengths, as they are written."""
    for bar in score.bars:
        yield from (bar.start, bar.length)
        if bar.meter is not None:
            yield from (bar.meter.length, *bar.meter.beats)
    yield from (change.at for change in score.key_changes)
    yield from (bare_step(voice) for voice in score.voices)
    symbols: Sequence[ChordEvent | NumeralEvent] = (*score.chords, *score.numerals)
    for symbol in symbols:
        yield from (symbol.start, symbol.duration)
    if score.chords:  # whether the notes are a tune under them is judged as it is written
        for event in (event for voice in score.voices for event in voice.events):
            yield from (event.start, event.duration)


def _played(events: Sequence[Sounding]) -> Iterator[Fraction]:
    """Moments of the page at which sounds begin, and how long they are held."""
    for event in events:
        for sound in chain(event.graces, *event.heads):
            yield from (sound.start, sound.length)


def _sorted(notes: Sequence[PlayedNote]) -> tuple[PlayedNote, ...]:
    return tuple(sorted(notes, key=lambda n: (n.attack, n.voice, n.sound.key_number)))


def _length(notes: Sequence[PlayedNote], bars: int) -> int:
    return max([bars, *(note.release for note in notes)])


def _a4(score: Score) -> Fraction | float:
    if score.tuning is None:
        return CONCERT_PITCH
    above = score.tuning.reference.hertz(1.0)
    return score.tuning.hertz if above == 1 else float(score.tuning.hertz) / above


def _clicks(score: Score, order: Sequence[Pass], clock: Clock) -> Iterator[Click]:
    """The beats of every measured bar; of a short one those that it has."""
    in_ticks = clock.resolution.in_ticks
    for here in order:
        meter = score.bars[here.bar].meter
        if meter is None:
            continue
        origin = in_ticks(bar_origin(score, here.bar))
        for beat in meter.beat_starts:
            tick = origin + in_ticks(beat)
            if here.start <= tick < here.end:
                yield Click(here.delay + clock.at(tick), beat == 0)


def _meters(score: Score, order: Sequence[Pass]) -> Iterator[tuple[int, Meter]]:
    before: Meter | None = None
    for here in order:
        meter = score.bars[here.bar].meter
        if meter is not None and meter != before:
            yield here.at, meter
        before = meter


def _keys(score: Score, order: Sequence[Pass], clock: Clock) -> Iterator[tuple[int, Key]]:
    moments = [(clock.resolution.in_ticks(change.at), change.at) for change in score.key_changes]
    before: Key | None = None
    for here in order:
        inside = [moment for moment in moments if here.start < moment[0] < here.end]
        for tick, time in ((here.start, score.bars[here.bar].start), *inside):
            key = score.key_at(time)
            if key is not None and key != before:
                yield tick + here.shift, key
            before = key
