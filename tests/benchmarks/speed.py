"""How fast: theory beside music21 on the same inputs, and checking beside parsing."""

from __future__ import annotations

import itertools
import time
import warnings
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from stavewright.checking.check import check_block
from stavewright.notation import parse_block
from stavewright.theory import Chord, Key, Numeral, Pitch
from tests.benchmarks.material import clean
from tests.benchmarks.pieces import chorales

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_ROOTS = [letter + sign for letter in "CDEFGAB" for sign in ("", "b", "#")]
_SUFFIXES = ("", "m", "7", "maj7", "m7", "m7b5", "dim7", "9", "sus4", "6")
_FIGURES = ("I", "ii6", "IV", "V7", "V65", "vi", "viio7", "V7/V")
_KEYS = ("C major", "A minor", "Eb major", "F# minor")
_BLOCKS = 3000


@dataclass(frozen=True, slots=True)
class Race:
    """One task, done by both on the same inputs."""

    what: str
    ours: float
    """Operations in a second."""
    theirs: float

    @property
    def ratio(self) -> float:
        return self.ours / self.theirs


def races() -> list[Race]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return [_intervals(), _chords(), _numerals(), _keys(), _whole_pieces()]


def _per_second(work: Callable[[Any], object], inputs: Sequence[Any], at_least: float) -> float:
    """Run over all inputs until some time has passed."""
    done, start = 0, time.process_time()
    for each in itertools.cycle(inputs):
        work(each)
        done += 1
        if done % 16 == 0 and time.process_time() - start > at_least:
            break
    return done / (time.process_time() - start)


def _race(
    what: str, ours: Callable[[Any], object], theirs: Callable[[Any], object], inputs: Sequence[Any]
) -> Race:
    return Race(what, _per_second(ours, inputs, 0.5), _per_second(theirs, inputs, 1.5))


def _intervals() -> Race:
    from music21 import interval, pitch

    names = [root + str(octave) for octave in (3, 4, 5) for root in _ROOTS]
    pairs = [(low, high) for low in names[::3] for high in names[::4]]

    def theirs(pair: tuple[str, str]) -> str:
        low, high = (pitch.Pitch(name.replace("b", "-")) for name in pair)
        return str(interval.Interval(low, high).niceName)

    def ours(pair: tuple[str, str]) -> str:
        return Pitch.parse(pair[0]).interval_to(Pitch.parse(pair[1])).name

    return _race("read two pitches, name their interval", ours, theirs, pairs)


def _chords() -> Race:
    from music21 import harmony

    symbols = [root + suffix for root in _ROOTS for suffix in _SUFFIXES]

    def theirs(symbol: str) -> object:
        root = symbol[:2] if symbol[1:2] in ("b", "#") else symbol[:1]
        figure = root.replace("b", "-") + symbol[len(root) :]
        return harmony.ChordSymbol(figure).pitches

    return _race(
        "read a chord symbol, spell it", lambda text: Chord.parse(text).spelling, theirs, symbols
    )


def _numerals() -> Race:
    from music21 import key, roman

    pairs = [(figure, name) for figure in _FIGURES for name in _KEYS]
    their_keys = {
        name: key.Key(name.split()[0].replace("b", "-"), name.split()[1]) for name in _KEYS
    }
    our_keys = {name: Key.parse(name) for name in _KEYS}

    return _race(
        "read a numeral, spell it in a key",
        lambda pair: Numeral.parse(pair[0]).chord(our_keys[pair[1]]).from_bass,
        lambda pair: roman.RomanNumeral(pair[0], their_keys[pair[1]]).pitches,
        pairs,
    )


def _keys() -> Race:
    from music21 import key

    names = [f"{root} {mode}" for root in _ROOTS for mode in ("major", "minor")]

    def theirs(name: str) -> object:
        tonic, mode = name.split()
        return key.Key(tonic.replace("b", "-"), mode).pitches

    return _race("spell a key", lambda name: Key.parse(name).spelling, theirs, names)


def _whole_pieces() -> Race:
    """Whole chorales: we read the text and check every rule; they name every chord by numeral.

    Theirs is the nearest comparable work on the same bars, and less: nothing is compared.
    """
    from music21 import corpus, roman

    pieces = chorales()
    numbers = range(1, len(pieces) + 1)
    streams = list(itertools.islice(corpus.chorales.Iterator(1, max(numbers)), len(pieces)))

    def ours(at: int) -> object:
        return check_block(parse_block(pieces[at].text))

    def theirs(at: int) -> object:
        chords = streams[at].chordify().recurse().getElementsByClass("Chord")
        home = streams[at].analyze("key")
        return [roman.romanNumeralFromChord(chord, home).figure for chord in chords]

    inputs = list(range(len(pieces)))
    started = time.process_time()
    for at in inputs[:3]:
        theirs(at)
    slow = 3 / (time.process_time() - started)
    started = time.process_time()
    for at in inputs[:3]:
        ours(at)
    fast = 3 / (time.process_time() - started)
    return Race("read and check a chorale / name its chords", fast, slow)


@dataclass(frozen=True, slots=True)
class Checking:
    """Many blocks, parsed and checked."""

    blocks: int
    parse_twice: float
    """Seconds of the processor."""
    check: float
    """Seconds of the processor, parsing included."""

    @property
    def ratio(self) -> float:
        return self.check / self.parse_twice


def checking(count: int = _BLOCKS) -> Checking:
    """Check `count` blocks, and parse them twice."""
    texts = [each.text for each in itertools.islice(itertools.cycle(clean()), count)]
    parsing = together = 0.0
    for text in texts:
        # Side by side, so that a machine that is busy for a while slows both.
        start = time.process_time()
        parse_block(text)
        parse_block(text)
        middle = time.process_time()
        check_block(parse_block(text))
        parsing += middle - start
        together += time.process_time() - middle
    return Checking(count, parsing, together)
