"""How far the theory core agrees with outside tables, case by case."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from stavewright.theory import Key, Mode, Pitch
from tests.benchmarks.material import TESTS
from tests.cases import rows
from tests.theory import test_interval, test_key, test_music21_chords

if TYPE_CHECKING:
    from collections.abc import Iterator

DATA = TESTS / "theory/data"


@dataclass(frozen=True, slots=True)
class Agreement:
    """One comparison."""

    what: str
    cases: int
    differing: tuple[tuple[str, int, str], ...]
    """What differs, in how many cases, and why; the reason is empty where none is written down."""

    @property
    def agreeing(self) -> int:
        return self.cases - sum(count for _, count, _ in self.differing)


def all_agreements() -> Iterator[Agreement]:
    yield _frequencies()
    yield _intervals()
    yield _keys()
    yield _chords()
    yield _numerals()


def _frequencies() -> Agreement:
    """Key numbers and hertz against a printed table (its places after the point count)."""
    cases, differing = rows(DATA / "frequencies.tsv"), Counter[str]()
    for _, case in cases:
        pitch = Pitch.parse(case["text"])
        places = len(case["hertz"].partition(".")[2])
        same = round(pitch.hertz(), places) == float(case["hertz"])
        if not same or pitch.key_number != float(case["title"]):
            differing[case["title"]] += 1
    return Agreement("frequencies, a printed table", len(cases), _told(differing, {}))


def _intervals() -> Agreement:
    """All pairs of spelled pitches within two octaves, from double flats to double sharps."""
    table = {c["title"]: c["why"] for _, c in rows(DATA / "music21_intervals.tsv")}
    differing: Counter[str] = Counter()
    pairs = [*test_interval.PAIRS, *((high, low) for low, high in test_interval.PAIRS)]
    for low, high in pairs:
        ours = low.interval_to(high)
        title = ("down " if ours.is_descending else "up ") + ours.short.lstrip("-")
        theirs, words = test_interval.their_reading(low, high)
        if title != theirs or ours.name != words:
            differing[title] += 1
    return Agreement("intervals, music21", len(pairs), _told(differing, table))


def _keys() -> Agreement:
    """Signature and scale from twelve flats to twelve sharps, in each of nine modes."""
    from music21 import key as their_keys
    from music21 import scale as their_scales

    differing: Counter[str] = Counter()
    keys = [Key.of_signature(count, mode) for mode in Mode for count in range(-12, 13)]
    for ours in keys:
        tonic = ours.tonic.spelled.replace("b", "-")
        theirs = getattr(their_scales, test_key.SCALES_OF_MODES[ours.mode])(tonic)
        names = tuple(test_key.our_name(pitch) for pitch in theirs.pitches[:-1])
        sharps = their_keys.Key(tonic, ours.mode.value).sharps
        if (names, sharps) != (ours.spelling, ours.signature):
            differing[str(ours)] += 1
    return Agreement("keys in every mode, music21", len(keys), _told(differing, {}))


def _chords() -> Agreement:
    judge = test_music21_chords
    differing: Counter[str] = Counter()
    cases = 0
    for suffix in judge.suffixes_of_music21():
        for root in judge.ROOTS:
            cases += 1
            if judge.our_symbol(root + suffix) != judge.their_symbol(root, suffix):
                differing[suffix] += 1
    table = {title: case["why"] for title, case in judge.CHORD_TABLE.items()}
    return Agreement("chord symbols, music21", cases, _told(differing, table))


def _numerals() -> Agreement:
    judge = test_music21_chords
    differing: Counter[str] = Counter()
    cases = 0
    for mode, tonics in judge.TONICS.items():
        for figure in judge.FIGURES.split():
            for tonic in tonics:
                cases += 1
                ours = judge.our_numeral(figure, tonic, mode)
                if ours != judge.their_numeral(figure, tonic, mode):
                    differing[f"{figure} in {mode}"] += 1
    table = {title: case["why"] for title, case in judge.NUMERAL_TABLE.items()}
    return Agreement("numerals, music21", cases, _told(differing, table))


def _told(differing: Counter[str], table: dict[str, str]) -> tuple[tuple[str, int, str], ...]:
    return tuple((title, count, table.get(title, "")) for title, count in differing.items())
