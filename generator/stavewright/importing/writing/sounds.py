"""The sounds of one voice in one bar without gaps, each of a value that one note shape shows."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from stavewright.importing.model import Sound, Tone
from stavewright.notation.score import Silence
from stavewright.theory import NoteValue, TheoryError
from stavewright.theory.note_value import split

_MOST_DOTS = 2


def filled(sounds: Sequence[Sound], length: Fraction, *, printed: bool) -> tuple[Sound, ...]:
    """The sounds of a bar of some length, its gaps filled with unprinted rests.

    A bar that holds nothing but a rest is that rest alone, `value` None; `printed` gives one to a
    bar without any sound, which otherwise stays unprinted.
    """
    if all(not s.tones and s.silence is Silence.REST and not s.dynamic for s in sounds):
        if sounds and (len(sounds) == 1 and _fills(sounds[0], length)):
            return (replace(sounds[0], at=Fraction(0), length=length, value=None),)
        if not sounds and printed:
            return (Sound(Fraction(0), length, None, silence=Silence.REST),)
    found: list[Sound] = []
    at = Fraction(0)
    for place, sound in enumerate(sounds):
        if sound.at > at:
            found += _space(at, sound.at, _ratio_near(sounds, place))
        found += _shapes(sound)
        at = max(at, sound.end)
    if at < length:
        found += _space(at, length, _ratio_near(sounds, len(sounds)))
    return tuple(found)


def _fills(rest: Sound, length: Fraction) -> bool:
    return rest.value is None or (rest.at == 0 and rest.length == length and rest.ratio == 1)


def _ratio_near(sounds: Sequence[Sound], place: int) -> Fraction:
    """The ratio of the groups beside a gap, for a gap that is part of them."""
    beside = [*sounds[max(0, place - 1) : place], *sounds[place : place + 1]]
    return next((sound.ratio for sound in beside if sound.ratio != 1), Fraction(1))


def _space(start: Fraction, end: Fraction, ratio: Fraction) -> Iterator[Sound]:
    length = end - start
    inside = Fraction(1) if length.denominator.bit_count() == 1 else _ratio_of(length, ratio)
    gap = Sound(start, length, length / inside, silence=Silence.SPACE, ratio=inside)
    yield from _shapes(gap)


def _ratio_of(length: Fraction, near: Fraction) -> Fraction:
    """The ratio in which a length has a value: that of its neighbours, or the usual one."""
    if (length / near).denominator.bit_count() == 1:
        return near
    odd = length.denominator // (length.denominator & -length.denominator)
    return Fraction(1 << (odd.bit_length() - 1), odd)


def _shapes(sound: Sound) -> Iterator[Sound]:
    """One sound as several tied ones where no single note shows its length."""
    written = sound.length / sound.ratio
    ratio = sound.ratio
    if written.denominator.bit_count() != 1:
        ratio = _ratio_of(sound.length, sound.ratio)
        written = sound.length / ratio
    if sound.value == written and _is_shape(written):
        yield sound
        return
    try:
        parts = [shape.length for shape in split(written, _MOST_DOTS)]
    except TheoryError:
        parts = [written]
    at = sound.at
    for number, value in enumerate(parts):
        is_first, is_last = number == 0, number + 1 == len(parts)
        yield replace(
            sound,
            at=at,
            length=value * ratio,
            value=value,
            ratio=ratio,
            tones=sound.tones if is_last else tuple(map(_held, sound.tones)),
            graces=sound.graces if is_first else (),
            dynamic=sound.dynamic if is_first else None,
            marks=sound.marks if is_first else frozenset(),
            opens=sound.opens if is_first else (),
            closes=sound.closes if is_last else 0,
            slurs_from=sound.slurs_from if is_first else frozenset(),
            slurs_to=sound.slurs_to if is_last else frozenset(),
            sung=sound.sung if is_first else (),
        )
        at += value * ratio


def _held(tone: Tone) -> Tone:
    return replace(tone, tied=True)


def _is_shape(value: Fraction) -> bool:
    try:
        NoteValue.from_length(value)
    except TheoryError:
        return False
    return True
