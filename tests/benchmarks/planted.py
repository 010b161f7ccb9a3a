"""Plants mistakes, checks, and sees whether they were found, where, and whether the offer is right.

Every candidate is built first and judged tellable or not from the music alone; then a seeded sample
of each kind is checked. So nothing is left out because it was missed.
"""

from __future__ import annotations

import random
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from stavewright.checking.check import check_block
from stavewright.checking.claims import check_claim
from stavewright.notation import parse_block
from stavewright.notation.claims import parse_claim
from tests.benchmarks.material import Material, clean
from tests.benchmarks.plant_labels import plant_bars, plant_keys, plant_labels
from tests.benchmarks.plant_notes import plant_notes
from tests.benchmarks.plant_words import plant_claims, plant_intervals
from tests.benchmarks.planting import Kind, Mistake, changed
from tests.benchmarks.under_labels import chord_of, read

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from stavewright.notation.finding import Finding
    from stavewright.notation.score import Score
    from tests.benchmarks.under_labels import Label


class Offer(Enum):
    """What a suggestion does."""

    NONE = "none is made"
    RESTORES = "it restores what stood there, or its equal"
    AGREES = "it makes the lines agree in another way"
    WRONG = "something is left to find"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one mistake."""

    mistake: Mistake
    findings: tuple[Finding, ...]
    there: bool
    """Whether a finding marks the changed words, or a label that holds over a changed note."""
    exactly: bool
    """Whether it marks the changed words themselves."""
    offer: Offer


@dataclass(slots=True)
class Tally:
    """The outcomes of one kind."""

    outcomes: list[Outcome] = field(default_factory=list)
    not_told: Counter[str] = field(default_factory=Counter)
    examples: dict[str, Mistake] = field(default_factory=dict)

    @property
    def caught(self) -> list[Outcome]:
        return [each for each in self.outcomes if each.findings]


def all_mistakes(seed: int, material: Iterable[Material] | None = None) -> Iterator[Mistake]:
    """Every candidate of every kind, in a fixed order."""
    chance = random.Random(seed)
    for each in clean() if material is None else material:
        music = read(each.text)
        yield from plant_notes(music, each.source)
        yield from plant_labels(music, each.source)
        yield from plant_keys(music, each.source)
        yield from plant_bars(music, each.source)
    yield from plant_intervals(chance, 300)
    yield from plant_claims(chance)


def measure(
    seed: int = 1, sample: int = 300, material: Iterable[Material] | None = None
) -> dict[Kind, Tally]:
    """Check a sample of each kind."""
    chance = random.Random(seed)
    tallies: dict[Kind, Tally] = {kind: Tally() for kind in Kind}
    told: dict[Kind, list[Mistake]] = defaultdict(list)
    for mistake in all_mistakes(seed, material):
        if mistake.not_told is None:
            told[mistake.kind].append(mistake)
        else:
            tally = tallies[mistake.kind]
            tally.not_told[mistake.not_told] += 1
            tally.examples.setdefault(mistake.not_told, mistake)
    for kind, mistakes in told.items():
        chosen = chance.sample(mistakes, min(sample, len(mistakes)))
        tallies[kind].outcomes = [outcome(mistake) for mistake in chosen]
    return tallies


def found_in(mistake: Mistake, text: str) -> tuple[Finding, ...]:
    if mistake.kind is not Kind.CLAIM:
        return check_block(parse_block(text))
    claim = parse_claim(text)
    return () if claim is None else check_claim(claim)


def outcome(mistake: Mistake) -> Outcome:
    findings = found_in(mistake, mistake.text)
    places = (mistake.place, *mistake.labels)
    exact = [f for f in findings if mistake.place.meets(f.span)]
    near = [f for f in findings if any(place.meets(f.span) for place in places)]
    best = next((f for f in (*exact, *near) if f.suggestion is not None), None)
    best = best or next((f for f in findings if f.suggestion is not None), None)
    offer = Offer.NONE if best is None else _offer(mistake, best)
    return Outcome(mistake, findings, bool(near), bool(exact), offer)


def _offer(mistake: Mistake, finding: Finding) -> Offer:
    assert finding.suggestion is not None
    mended, _ = changed(mistake.text, finding.span, finding.suggestion)
    if mended == mistake.original:
        return Offer.RESTORES
    if any(f.rule == finding.rule for f in found_in(mistake, mended)):
        return Offer.WRONG
    if mistake.kind is Kind.CLAIM:
        return Offer.RESTORES
    before, after = parse_block(mistake.original).score, parse_block(mended).score
    return Offer.RESTORES if means_the_same(before, after) else Offer.AGREES


def means_the_same(one: Score, other: Score) -> bool:
    """Whether two blocks have the same notes, key and chords, under whatever names."""
    return (
        one.key == other.key
        and _notes(one) == _notes(other)
        and _chords(one) == _chords(other)
        and _words(one) == _words(other)
    )


def _notes(score: Score) -> list[tuple[object, ...]]:
    return [
        (event.start, event.duration, tuple(head.sound for head in event.heads))
        for voice in score.voices
        for event in voice.events
    ]


def _words(score: Score) -> list[str | None]:
    return [event.label for voice in score.voices for event in voice.events]


def _chords(score: Score) -> list[tuple[object, ...]]:
    found: list[tuple[object, ...]] = []
    labels: list[Label] = [*score.chords, *score.numerals]
    for label in labels:
        chord = chord_of(label)
        names = frozenset(chord.names) if chord is not None else None
        found.append((label.start, names, chord.bass if chord is not None else None))
    return found
