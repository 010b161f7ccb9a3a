"""Plants wrong words: interval names in blocks, statements in claims."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from stavewright.checking.claims import check_claim
from stavewright.notation.claims import parse_claim
from stavewright.theory import Chord, Interval, Key, Numeral, Pitch, TheoryError
from tests.benchmarks.material import CONTENT, TESTS
from tests.benchmarks.planting import Kind, Mistake, Place, changed
from tests.cases import rows

if TYPE_CHECKING:
    import random
    from collections.abc import Iterator

_NAMES = tuple(
    f"{quality} {number}"
    for number, qualities in {
        "second": ("minor", "major", "augmented"),
        "third": ("minor", "major", "diminished"),
        "fourth": ("perfect", "augmented", "diminished"),
        "fifth": ("perfect", "augmented", "diminished"),
        "sixth": ("minor", "major", "augmented"),
        "seventh": ("minor", "major", "diminished"),
        "octave": ("perfect",),
        "ninth": ("minor", "major"),
        "tenth": ("minor", "major"),
    }.items()
    for quality in qualities
)
_CODE = re.compile(r"(?<!`)`([^`\n]+)`(?!`)")
_NOTE = re.compile(r"(?<![A-Za-z0-9#])[A-G](?:#{1,2}|b{1,2})?(?= |$)")
_COUNT = re.compile(r"\b\d+\b")


def plant_intervals(chance: random.Random, count: int) -> Iterator[Mistake]:
    """Two notes at once under the name of some other interval."""
    for _ in range(count):
        low, high = _pair(chance)
        name = low.interval_to(high).name
        others = [other for other in _NAMES if not _names(other, low.interval_to(high))]
        wrong = chance.choice(others)
        head = f"notes: 1/2 {low}&{high}"
        tail = " C4&G4\n"
        original = f'{head}"{name}"{tail}'
        text = f'{head}"{wrong}"{tail}'
        place = Place(1, len(head) - len(f"{low}&{high}") + 1, len(head) + len(wrong) + 3)
        yield Mistake(Kind.INTERVAL, "made", text, original, place, name, wrong)


def _pair(chance: random.Random) -> tuple[Pitch, Pitch]:
    """Two pitches of the lines and spaces, at most a tenth apart, with a usual interval."""
    while True:
        low = Pitch.parse(chance.choice("CDEFGAB") + chance.choice(("", "#", "b")) + "4")
        try:
            high = low + Interval.parse(chance.choice(_NAMES))
        except TheoryError:
            continue
        if abs(high.name.accidentals) <= 1:
            return low, high


def _names(name: str, interval: Interval) -> bool:
    return Interval.parse(name) in (interval.magnitude, interval.magnitude.simple)


def true_claims() -> Iterator[tuple[str, str]]:
    """(source, text) of claims that hold and state an equality."""
    for _, case in rows(TESTS / "checking/data/claims.tsv"):
        if not case["wrong"]:
            yield "fixture", case["claim"]
    for path in sorted(CONTENT.rglob("*.md")):
        for found in _CODE.finditer(path.read_text(encoding="utf-8")):
            yield "handbook", found[1]


def plant_claims(chance: random.Random) -> Iterator[Mistake]:
    """One note, one number or one quality of the statement changed; or the sign turned round."""
    for source, text in true_claims():
        claim = parse_claim(text)
        if claim is None or claim.sign is None or " = " not in text or check_claim(claim):
            continue
        for kind_of in (_other_note, _other_count, _other_word, _other_sign):
            made = kind_of(text, chance)
            if made is not None:
                wrong, place, was, became = made
                yield Mistake(
                    Kind.CLAIM,
                    source,
                    wrong,
                    text,
                    place,
                    was,
                    became,
                    _claim_not_told(text, wrong),
                )


_Made = tuple[str, Place, str, str]


def _replaced(text: str, match: re.Match[str], start: int, new: str) -> _Made:
    place = Place(1, start + match.start() + 1, start + match.end() + 1)
    wrong, there = changed(text, place, new)
    return wrong, there, match[0], new


def _other_note(text: str, chance: random.Random) -> _Made | None:
    """One note of a list with another accidental."""
    start = text.index(" = ") + 3
    found = list(_NOTE.finditer(text, start))
    if len(found) < 2:
        return None
    match = chance.choice(found)
    letter, sign = match[0][0], match[0][1:]
    new = letter + {"": chance.choice("#b"), "#": "", "b": "", "##": "#", "bb": "b"}[sign]
    return _replaced(text, match, 0, new)


def _other_count(text: str, chance: random.Random) -> _Made | None:
    """A number one more: sharps, key numbers, hertz."""
    if not text.startswith(("key", "note")):
        return None
    start = text.index(" = ") + 3
    found = list(_COUNT.finditer(text, start))
    if not found:
        return None
    match = chance.choice(found)
    return _replaced(text, match, 0, str(int(match[0]) + 1))


_WORDS = {"major": "minor", "minor": "major", "augmented": "diminished", "diminished": "augmented"}


def _other_word(text: str, chance: random.Random) -> _Made | None:
    """The opposite quality, in what is stated."""
    del chance
    start = text.index(" = ") + 3
    match = re.compile("|".join(_WORDS)).search(text, start)
    return None if match is None else _replaced(text, match, 0, _WORDS[match[0]])


def _other_sign(text: str, chance: random.Random) -> _Made | None:
    del chance
    match = re.compile(r"(?<= )=(?= )").search(text)
    return None if match is None else _replaced(text, match, 0, "≠")


def _claim_not_told(text: str, wrong: str) -> str | None:
    """Why the changed claim may hold as well."""
    if text.startswith("note:") and "Hz" in text and "." in text:
        return "within the digits that the frequency states"
    match = _NUMERAL.fullmatch(wrong)
    if match is None:
        return None
    meant = _readings(match["numeral"], match["key"])
    said = match["said"]
    other = _IN.fullmatch(said)
    if other is not None:
        same = any(chord in meant for chord in _readings(other[1], other[2]))
        return "the two numerals name one chord there as well" if same else None
    alike = any(set(said.split()) == set(chord.spelling) for chord in meant)
    return "the trade reads the numeral so as well" if alike else None


_NUMERAL = re.compile(r"numeral: (?P<numeral>\S+) in (?P<key>[^=]+) = (?P<said>.+)")
_IN = re.compile(r"(\S+) in (.+)")


def _readings(numeral: str, key: str) -> tuple[Chord, ...]:
    try:
        return Numeral.parse(numeral).readings(Key.parse(key))
    except TheoryError:
        return ()
