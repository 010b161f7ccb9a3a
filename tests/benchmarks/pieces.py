"""Which pieces are measured: old music in the public domain, from the corpora inside music21.

- the first ten four-part chorales with a published numeral analysis (the others are kept aside, so
  that what was mended here can be judged on music it has not seen);
- fiddle tunes of one collection of 1883, every fifth in the order of their files;
- lead sheets: two songs of the nineteenth century and the turn of the twentieth.

No music is kept in this folder: it is read from music21 whenever it is needed.
"""

from __future__ import annotations

import warnings
from functools import cache
from typing import TYPE_CHECKING, Any

from stavewright.theory import Key, Mode
from tests.benchmarks.from_music21 import CannotConvertError, Piece, block_of, spelled

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

CHORALES = tuple(range(1, 11))
EVERY = 5
_MODES = {
    mode.value: mode
    for mode in (Mode.MAJOR, Mode.MINOR, Mode.DORIAN, Mode.PHRYGIAN, Mode.LYDIAN, Mode.MIXOLYDIAN)
}


@cache
def chorales(numbers: Sequence[int] = CHORALES) -> tuple[Piece, ...]:
    """Four voices with numerals, by their number in the collection."""
    from music21 import converter, corpus

    found = []
    analyses = [path for path in _paths("choraleAnalyses") if path.endswith(".rntxt")]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        streams = iter(corpus.chorales.Iterator(1, max(numbers)))
        for number, music in enumerate(streams, 1):
            if number in numbers:
                labels = converter.parse(analyses[number - 1], format="romanText").parts[0]
                key = _key_by_analysis(music, labels)
                voices = _first_four(music)
                found.append(block_of(f"chorale-{number:03}", voices, key=key, numerals=labels))
    return tuple(found)


@cache
def fiddle_tunes(every: int = EVERY) -> tuple[Piece, ...]:
    """Tunes with keys, metres and repeats, by their place in the collection."""
    return tuple(_converted("fiddle", _paths("ryansMammoth"), every, symbols=False))


@cache
def lead_sheets() -> tuple[Piece, ...]:
    """Melodies with chord symbols: two songs, and two reels of one small collection."""
    from music21 import converter

    reels = converter.parse(_paths("nottingham")[0]).scores
    return (
        *_converted("lead-sheet", _paths("leadSheet"), 1, symbols=True),
        *(
            block_of(f"chorded-reel-{at}", reel, key=_key_as_named(reel))
            for at, reel in enumerate(reels, 1)
        ),
    )


def _converted(kind: str, paths: Sequence[str], every: int, *, symbols: bool) -> Iterator[Piece]:
    from music21 import converter

    for number in range(0, len(paths), every):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            music = converter.parse(paths[number])
            name = f"{kind}-{number + 1:04}"
            try:
                yield block_of(name, music, key=_key_as_named(music), symbols=symbols)
            except CannotConvertError:
                continue


def _paths(folder: str) -> list[str]:
    from music21 import corpus

    return sorted(str(path) for path in corpus.getPaths() if folder in str(path))


def _first_four(music: Any) -> Any:
    """The voices, without the instruments that double them in some settings."""
    from music21 import stream

    score = stream.Score()
    for part in list(music.parts)[:4]:
        score.insert(0, part)
    return score


def _key_as_named(music: Any) -> str:
    """The key that the edition names; the major key of a bare signature."""
    signature = music.recurse().getElementsByClass("KeySignature").first()
    if signature is None:
        return ""
    if "Key" in signature.classes and signature.mode in _MODES:
        tonic = spelled(signature.tonic.name)
        return f"{tonic[0].upper()}{tonic[1:]} {signature.mode}"
    return f"{spelled(signature.asKey('major').tonic.name)} major"


def _key_by_analysis(music: Any, labels: Any) -> str:
    """The printed signature read from the tonic on which the analysis ends."""
    signature = music.recurse().getElementsByClass("KeySignature").first().sharps
    last = list(labels.recurse().getElementsByClass("RomanNumeral"))[-1]
    tonic = spelled(last.key.tonic.name)
    tonic = tonic[0].upper() + tonic[1:]
    for mode in _MODES.values():
        key = Key.parse(f"{tonic} {mode.value}")
        if key.signature == signature:
            return str(key)
    return f"{tonic} {last.key.mode}"
