"""When which notes are lit: the picture changes with every event of the music.

The times are those that the page's player is given, to the microsecond, and so are the words by
which a sound finds what stands for it: `id head-tune-0` for its notes, `key 60` for its key, place
or row, `class 0` for its pitch class (see `sound-figure.js` in the themes).
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any, Final

from stavewright.figures.sound import Performance, encode

_MILLION: Final = 1_000_000


@dataclass(frozen=True, slots=True)
class Step:
    """A span of time in which the same notes are lit."""

    start: Fraction
    """Seconds from the beginning of the sound."""
    length: Fraction
    """Seconds."""
    lit: frozenset[str]
    """Words for what is lit; empty in a rest."""


@dataclass(frozen=True, slots=True)
class _Light:
    start: int
    end: int
    """Microseconds."""
    words: frozenset[str]


def steps(performance: Performance) -> tuple[Step, ...]:
    """The steps of a performance, without gaps, from its beginning to its end."""
    data = json.loads(encode(performance))
    lights = list(_lights(data))
    ends = {0, data["length"], *(light.start for light in lights), *(x.end for x in lights)}
    moments = sorted(moment for moment in ends if 0 <= moment <= data["length"])
    found: list[Step] = []
    for start, end in pairwise(moments):
        sounding = [light.words for light in lights if light.start <= start < light.end]
        lit = frozenset().union(*sounding)
        struck = any(light.start == start for light in lights)
        length = Fraction(end - start, _MILLION)
        # A note that is struck again is an event of its own, though the same things stay lit.
        if found and found[-1].lit == lit and not struck:
            before = found.pop()
            found.append(Step(before.start, before.length + length, lit))
        else:
            found.append(Step(Fraction(start, _MILLION), length, lit))
    return tuple(found)


def _lights(data: dict[str, Any]) -> Iterator[_Light]:
    for kind in ("notes", "hits"):
        for start, length, key, _, _, ids in data[kind]:
            words = [f"id {each}" for each in ids.split(" ") if each]
            if not words:
                # Chords under a tune, and the quick notes of ornaments: drawn is something else.
                continue
            words += [f"key drum-{key}"] if kind == "hits" else _of_key(key)
            yield _Light(start, start + length, frozenset(words))
    for start, length, ids, *key in data.get("lit", ()):
        words = [f"id {each}" for each in ids.split(" ")]
        for each in key:
            words += _of_key(each)
        yield _Light(start, start + length, frozenset(words))


def _of_key(key: float | str) -> list[str]:
    """By what a key is lit: percussion by its own, a pitch also by its class."""
    if isinstance(key, str):
        return [f"key {key}"]
    return [f"key {_written(key)}", f"class {_written(key % 12)}"]


def _written(number: float) -> str:
    """A number as the drawings have it: two places at most."""
    return f"{round(number, 2):g}"
