"""Writes sites of any size that look like an author's: seeded, cross-linked, free of findings.

Every article has about 450 words, five claims, three figures of four bars and links to other
articles and to the glossary. No two articles are alike, so that nothing is saved by drawing equal
figures once. The words and the music are made up by dice.

    python -m tests.benchmarks.sites FOLDER --articles 1000 --seed 1
"""

from __future__ import annotations

import argparse
import random
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from stavewright.theory import Chord, Key, Numeral, Pitch

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

_FOLDER = 100
"""Articles in a folder."""

_TONICS = ("C", "D", "Eb", "E", "F", "G", "Ab", "A", "Bb")
_PROGRESSIONS = {
    "major": (
        ("I", "vi", "ii", "V"),
        ("I", "IV", "V", "I"),
        ("vi", "ii", "V", "I"),
        ("I", "iii", "IV", "V"),
        ("IV", "V", "iii", "vi"),
        ("ii", "V", "I", "vi"),
    ),
    "minor": (
        ("i", "iv", "V", "i"),
        ("i", "VI", "iv", "V"),
        ("VI", "iv", "V", "i"),
        ("i", "iv", "VI", "V"),
    ),
}
_RHYTHMS = (
    ("1/4", "1/4", "1/4", "1/4"),
    ("1/2", "1/4", "1/4"),
    ("1/4", "1/8", "1/8", "1/2"),
    ("3/8", "1/8", "1/4", "1/4"),
    ("1/8", "1/8", "1/4", "1/8", "1/8", "1/4"),
)
_SUBJECTS = [
    "cadence",
    "bass",
    "line",
    "melody",
    "chord",
    "tune",
    "phrase",
    "bar",
    "chorus",
    "verse",
    "refrain",
    "voice",
]
_VERBS = [
    "leans",
    "rests",
    "rises",
    "falls",
    "waits",
    "turns",
    "answers",
    "settles",
    "moves",
    "returns",
    "holds",
    "breathes",
]
_PLACES = (
    "on the first beat",
    "before the bar line",
    "in the tenor",
    "under the tune",
    "above the bass",
    "at the end of the phrase",
    "in the second half",
    "where nobody expects it",
)
_TAILS = (
    "so listen for it twice",
    "and the choir hears it at once",
    "which the page does not show",
    "as every pianist's hand knows",
    "and that is the whole secret",
    "though the name came later",
    "because the third decides",
    "and the fifth may be left out",
)
_TERMS = (
    "cadence",
    "leading tone",
    "dominant",
    "subdominant",
    "tonic",
    "passing note",
    "suspension",
    "pickup",
    "syncopation",
    "pedal",
    "inversion",
    "relative key",
    "parallel key",
    "guide tone",
    "sequence",
    "half cadence",
)


@dataclass(frozen=True, slots=True)
class SitePlan:
    """What to write."""

    articles: int
    seed: int = 1
    social: bool = False
    """Whether articles have pictures for shared links; they cost as much as an engraving each."""


def write(folder: Path, plan: SitePlan) -> None:
    """Write a content folder; what lies at the same paths is replaced."""
    folder.mkdir(parents=True, exist_ok=True)
    pictures = f"social_pictures: {'true' if plan.social else 'false'}\n"
    (folder / "site.yaml").write_text(_SETTINGS + pictures, encoding="utf-8")
    (folder / "index.md").write_text(_HOME, encoding="utf-8")
    (folder / "glossary.md").write_text(_glossary(), encoding="utf-8")
    for number in range(plan.articles):
        path = folder / article_path(number)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(article(number, plan), encoding="utf-8")


def article_path(number: int) -> str:
    """Where an article lies in the content folder."""
    return f"answers/{number // _FOLDER:03}/answer-{number:05}.md"


def article(number: int, plan: SitePlan) -> str:
    """The Markdown of one article; the same number gives the same text in a site of any size."""
    dice = random.Random(f"{plan.seed}/{number}")
    return "\n".join(_article(number, plan, dice)) + "\n"


def figures(dice: random.Random) -> list[str]:
    """Three music blocks of four bars."""
    mode = dice.choice(tuple(_PROGRESSIONS))
    key = Key.parse(f"{dice.choice(_TONICS)} {mode}")
    return [_lead_sheet(key, dice), _cadence(key, dice), _groove(dice)]


def _article(number: int, plan: SitePlan, dice: random.Random) -> Iterator[str]:
    yield "---"
    yield f"title: Answer {number} about the {dice.choice(_SUBJECTS)} that {dice.choice(_VERBS)}"
    yield f"summary: {_sentence(dice)}"
    yield "kind: article"
    yield f"date: {2020 + number % 6}-{1 + number % 12:02}-{1 + number % 28:02}"
    yield f"question: Why does the {dice.choice(_SUBJECTS)} sound finished {dice.choice(_PLACES)}?"
    yield f"video: {{address: 'https://video.example/answers/{number}', length: '9:30'}}"
    yield "---"
    for index, block in enumerate(figures(dice)):
        yield ""
        yield f"## The {dice.choice(_SUBJECTS)} that {dice.choice(_VERBS)} [{2 * index}:30]"
        yield ""
        yield _paragraph(dice, [_claim(dice), _term(dice), _claim(dice)])
        yield ""
        yield "```music"
        yield from block.splitlines()
        yield "```"
        yield ""
        yield _paragraph(dice, [_link(number, plan, dice)])


def _paragraph(dice: random.Random, additions: Sequence[str]) -> str:
    words = [_sentence(dice) for _ in range(6)]
    for addition in additions:
        words.insert(dice.randrange(len(words)), addition)
    return " ".join(words)


def _sentence(dice: random.Random) -> str:
    first = f"The {dice.choice(_SUBJECTS)} {dice.choice(_VERBS)} {dice.choice(_PLACES)}"
    return f"{first}, {dice.choice(_TAILS)}."


def _claim(dice: random.Random) -> str:
    chord = Chord.parse(dice.choice(_TONICS) + dice.choice(("", "m", "7", "maj7", "m7")))
    if dice.random() < 0.5:
        return f"Here `chord: {chord.symbol} = {' '.join(chord.spelling)}` says it all."
    key = Key.parse(f"{dice.choice(_TONICS)} {dice.choice(('major', 'minor'))}")
    return f"The notes of `key: {key} = {' '.join(key.spelling)}` are enough."


def _term(dice: random.Random) -> str:
    return f"Call it the [{dice.choice(_TERMS)}](term:)."


def _link(number: int, plan: SitePlan, dice: random.Random) -> str:
    other = dice.randrange(plan.articles)
    if other == number:
        return "This page is the only one about it."
    target = f"../{other // _FOLDER:03}/answer-{other:05}.md"
    return f"It is told [in another answer]({target})."


def _lead_sheet(key: Key, dice: random.Random) -> str:
    chords = _chords(key, dice)
    bars = " | ".join(_tune(chord, dice) for chord in chords)
    return "\n".join(
        [
            f"title: A tune in {key}",
            f"key: {key}",
            "time: 4/4",
            f"tempo: 1/4 at {dice.randrange(72, 132, 4)}",
            f"chords: {' | '.join(chord.symbol for chord in chords)}",
            f"notes: {bars}",
            "caption: Four bars, made up for this page.",
        ]
    )


def _tune(chord: Chord, dice: random.Random) -> str:
    """One bar of chord tones; root and third are in it, so that no ear questions the symbol."""
    rhythm = dice.choice(_RHYTHMS)
    tones = [dice.choice(chord.names) for _ in rhythm]
    tones[0], tones[-1] = chord.names[1], chord.names[0]
    words, last = [], ""
    for value, tone in zip(rhythm, tones, strict=True):
        words.append(f"{value} " * (value != last) + f"{tone.spelled}{dice.choice('45')}")
        last = value
    return " ".join(words)


def _cadence(key: Key, dice: random.Random) -> str:
    figures, chords = _progression(key, dice)
    right = " | ".join(_voiced(chord, dice) for chord in chords)
    left = " | ".join(f"1/2 {_low(chord, 3)} {_low(chord, 2)}" for chord in chords)
    return "\n".join(
        [
            f"title: The cadence in {key}",
            f"key: {key}",
            "time: 4/4",
            "staves: treble(right) bass(left)",
            f"numerals: {' | '.join(figures)}",
            f"right: {right}",
            f"left: {left}",
        ]
    )


def _voiced(chord: Chord, dice: random.Random) -> str:
    """Two close positions of a triad, from the fourth octave up."""
    words = []
    for turn in (dice.randrange(3), dice.randrange(3)):
        names = [*chord.spelling[turn:3], *chord.spelling[:turn]]
        words.append("&".join(str(pitch) for pitch in _rising(names, 4)))
    return f"1/2 {words[0]} {words[1]}"


def _rising(names: Sequence[str], octave: int) -> Iterator[Pitch]:
    last: Pitch | None = None
    for name in names:
        pitch = Pitch.parse(f"{name}{octave}")
        if last is not None and pitch.key_number <= last.key_number:
            octave += 1
            pitch = Pitch.parse(f"{name}{octave}")
        yield pitch
        last = pitch


def _low(chord: Chord, octave: int) -> str:
    return f"{chord.spelling[0]}{octave}"


def _groove(dice: random.Random) -> str:
    """Kick, snare and hat over four bars, some hits early or late."""
    shifts = ("", "", "@-1/64", "@+1/96", "@-1/48")
    snare = " | ".join(
        f"1/4 rest snare{dice.choice(shifts)} rest snare{dice.choice(shifts)}" for _ in range(4)
    )
    kick = " | ".join(f"1/2 kick kick{dice.choice(shifts)}" for _ in range(4))
    return "\n".join(
        [
            "title: Where the hits fall",
            "time: 4/4",
            f"tempo: 1/4 at {dice.randrange(80, 120, 2)}",
            "staves: drums(snare kick)",
            f"snare: {snare}",
            f"kick: {kick}",
            "show: staff grid" if dice.random() < 0.5 else "show: staff",
        ]
    )


def _progression(key: Key, dice: random.Random) -> tuple[Sequence[str], list[Chord]]:
    figures = dice.choice(_PROGRESSIONS[key.mode.value])
    return figures, [Numeral.parse(figure).chord(key) for figure in figures]


def _chords(key: Key, dice: random.Random) -> list[Chord]:
    return _progression(key, dice)[1]


def _glossary() -> str:
    entries = (f"{term.capitalize()}\n: What musicians mean by it here.\n" for term in _TERMS)
    head = "---\ntitle: Glossary\nsummary: What the words mean.\nkind: page\n---\n"
    return "\n".join([head, *entries])


_SETTINGS = """\
name: A site of many answers
address: https://answers.example
author: Nobody
about: Written by dice, to see how long it takes.
navigation:
  - {title: Glossary, path: glossary.md}
"""
_HOME = """\
---
title: Many answers
summary: All of them made up.
kind: page
---

Every answer has three figures.
"""


def main() -> None:
    parser = argparse.ArgumentParser(description="Write a site of many articles.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--articles", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    write(chosen.folder, SitePlan(chosen.articles, chosen.seed))


if __name__ == "__main__":
    main()
