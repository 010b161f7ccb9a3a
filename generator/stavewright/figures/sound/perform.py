"""From a Score to its performance."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from stavewright.figures.sound.clockwork import (
    Pass,
    heard,
    held_tempos,
    passes,
    played,
    span,
    tempo_marks,
)
from stavewright.figures.sound.lights import lit_by_bare_heads, lit_in_bars, steadied
from stavewright.figures.sound.performance import Click, Lit, Performance, PlayedNote, TempoMark
from stavewright.figures.sound.untimed import (
    ALONE,
    is_bare,
    is_tune,
    play_bare,
    play_symbols,
    under_tune,
)
from stavewright.figures.sound.voices import play_voice
from stavewright.figures.spoken.events import voice_words
from stavewright.figures.timeline import TempoMap, bar_origin
from stavewright.notation.realise import realise
from stavewright.notation.score import Score
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
    sounding = [
        (place, voice)
        for place, voice in enumerate(written.voices)
        if any(event.heads or event.graces for event in voice.events)
    ]
    if all(is_bare(voice) for _, voice in sounding) and sounding:
        return _bare(written, tempos)
    order = passes(written, tempos)
    notes: list[PlayedNote] = []
    ornaments: list[Lit] = []
    for place, voice in sounding:
        bare = is_bare(voice)
        if bare:
            notes += play_bare(voice, place, tempos)
            continue
        steady, lights = steadied(*play_voice(written, place, order, tempos))
        notes += steady
        ornaments += lights
    names = tuple(voice_words(voice) for voice in written.voices)
    if not sounding:
        notes, names = play_symbols(written, order, tempos, ALONE), ("chords",)
    elif written.chords and is_tune(written):
        notes += play_symbols(written, order, tempos, under_tune(written))
        names = (*names, "chords")
    return Performance(
        voices=names,
        notes=_sorted(notes),
        clicks=tuple(_clicks(written, order, tempos)),
        tempos=tempo_marks(written, order, tempos),
        meters=tuple(_meters(written, order)),
        keys=tuple(_keys(written, order)),
        a4=_a4(score),
        seconds=_length(notes, span(written.bars, order, tempos)),
        lit=(*lit_in_bars(written, order, tempos), *ornaments),
    )


def _bare(score: Score, tempos: TempoMap) -> Performance:
    """Bare heads alone: no bars, no beats."""
    notes = [
        note for place, voice in enumerate(score.voices) for note in play_bare(voice, place, tempos)
    ]
    return Performance(
        voices=tuple(voice_words(voice) for voice in score.voices),
        notes=_sorted(notes),
        clicks=(),
        tempos=(TempoMark(Fraction(0), tempos.tempos[0]),),
        meters=(),
        keys=() if score.key is None else ((Fraction(0), score.key),),
        a4=_a4(score),
        seconds=_length(notes, Fraction(0)),
        lit=lit_by_bare_heads(score, score.voices[0], tempos),
    )


def _sorted(notes: Sequence[PlayedNote]) -> tuple[PlayedNote, ...]:
    return tuple(sorted(notes, key=lambda n: (n.seconds, n.voice, n.sound.key_number)))


def _length(notes: Sequence[PlayedNote], bars: Fraction) -> Fraction:
    return max([bars, *(note.until for note in notes)])


def _a4(score: Score) -> Fraction | float:
    if score.tuning is None:
        return CONCERT_PITCH
    above = score.tuning.reference.hertz(1.0)
    return score.tuning.hertz if above == 1 else float(score.tuning.hertz) / above


def _clicks(score: Score, order: Sequence[Pass], tempos: TempoMap) -> Iterator[Click]:
    """The beats of every measured bar; of a short one those that it has."""
    for here in order:
        bar = score.bars[here.bar]
        if bar.meter is None:
            continue
        origin = bar_origin(score, here.bar)
        for beat in bar.meter.beat_starts:
            time = origin + beat
            if bar.start <= time < bar.start + bar.length:
                yield Click(heard(here, time, tempos), beat == 0)


def _meters(score: Score, order: Sequence[Pass]) -> Iterator[tuple[Fraction, Meter]]:
    before: Meter | None = None
    for here in order:
        meter = score.bars[here.bar].meter
        if meter is not None and meter != before:
            yield here.at, meter
        before = meter


def _keys(score: Score, order: Sequence[Pass]) -> Iterator[tuple[Fraction, Key]]:
    before: Key | None = None
    for here in order:
        end = here.start + score.bars[here.bar].length
        inside = [change.at for change in score.key_changes if here.start < change.at < end]
        for time in (here.start, *inside):
            key = score.key_at(time)
            if key is not None and key != before:
                yield played(here, time), key
            before = key
