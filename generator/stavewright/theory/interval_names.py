"""How intervals are named and how their names are read.

Everything here works on two numbers: the letters spanned upwards (`steps`) and the cents by which
the interval is wider than the major or perfect one of its number (`altered`).
"""

from __future__ import annotations

import difflib
import re
from typing import Final

from stavewright.theory.errors import TheoryError

DIATONIC_CENTS: Final = (0, 200, 400, 500, 700, 900, 1100)
"""The perfect and major intervals above a note, in cents by letters: C D E F G A B above C."""

PERFECT_STEPS: Final = frozenset({0, 3, 4})
"""Letters spanned by unison, fourth and fifth, which are perfect; the others are major or minor."""

_NUMBER_WORDS: Final = (
    "unison",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "octave",
    "ninth",
    "tenth",
    "eleventh",
    "twelfth",
    "thirteenth",
    "fourteenth",
    "fifteenth",
    "sixteenth",
    "seventeenth",
    "eighteenth",
    "nineteenth",
    "twentieth",
    "twenty-first",
    "twenty-second",
)
_NUMBERS: Final = {word: number for number, word in enumerate(_NUMBER_WORDS, 1)} | {
    "prime": 1,
    "double octave": 15,
    "triple octave": 22,
}
_TIMES: Final = ("", "doubly ", "triply ", "quadruply ", "quintuply ", "sextuply ")
_QUALITIES: Final = {
    "perfect": "P",
    "major": "M",
    "minor": "m",
    "neutral": "n",
    "augmented": "A",
    "diminished": "d",
}
_WORD_QUALITIES: Final = dict(_QUALITIES) | {
    "perf": "P",
    "maj": "M",
    "min": "m",
    "aug": "A",
    "dim": "d",
}
_LOOSE: Final = {
    "tritone": ("A tritone is an augmented fourth or a diminished fifth", "augmented fourth"),
    "semitone": ("A semitone is a minor second or an augmented unison", "minor second"),
    "half step": ("A half step is a minor second or an augmented unison", "minor second"),
    "half-step": ("A half step is a minor second or an augmented unison", "minor second"),
    "tone": ("As an interval between letters a tone is a major second", "major second"),
    "whole tone": ("As an interval between letters a whole tone is a major second", "major second"),
    "whole step": ("As an interval between letters a whole step is a major second", "major second"),
}
"""Sizes that say nothing of letters: what to say, and the likeliest name."""

_MINUS: Final = str.maketrans("−–", "--")
_SHORT: Final = re.compile(
    r"(?P<down>-?)(?P<quality>[A-Za-z]+)\s?(?P<number>[0-9]{1,3})(?:\((?P<cents>[+-][0-9]{1,4})\))?"
)
_LONG: Final = re.compile(
    r"(?P<down>descending |ascending )?"
    r"(?:(?P<times>doubly|double(?! octave)|twice|triply|quadruply|quintuply|sextuply"
    r"|[0-9]{1,3}-fold) )?"
    r"(?:(?P<quality>(?!(?:double|triple) octave)[a-z]+) )?"
    r"(?P<number>(?:double |triple )?[a-z0-9-]+)"
    r"(?: (?P<over>plus|minus) (?P<cents>[0-9]{1,4}) cents?)?"
)


def number_word(number: int) -> str:
    """`fifth` for 5, `tenth` for 10; past three octaves the figure, `23rd`."""
    if number <= len(_NUMBER_WORDS):
        return _NUMBER_WORDS[number - 1]
    teen = number % 100 in (11, 12, 13)
    return f"{number}{'th' if teen else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"


def _quality(steps: int, altered: int) -> tuple[str, int, int]:
    """Give the quality's letter, how many times it stands, and the cents over.

    Cents over the nearest quality are at most 50. Half-way cases lean to perfect, minor or major.
    """
    if steps % 7 not in PERFECT_STEPS:
        if altered == -50:
            return "n", 1, 0
        if -150 <= altered <= 50:
            return ("m", 1, altered + 100) if altered < -50 else ("M", 1, altered)
        if altered < 0:
            altered += 100
    elif -50 <= altered <= 50:
        return "P", 1, altered
    times = (abs(altered) + 49) // 100
    return (
        ("A", times, altered - 100 * times) if altered > 0 else ("d", times, altered + 100 * times)
    )


def quality_words(steps: int, altered: int) -> tuple[str, int]:
    """Give the quality in words, and the cents by which the interval exceeds it."""
    letter, times, rest = _quality(steps, altered)
    word = next(name for name, short in _QUALITIES.items() if short == letter)
    fold = _TIMES[times - 1] if times <= len(_TIMES) else f"{times}-fold "
    return fold + word, rest


def quality_short(steps: int, altered: int) -> tuple[str, int]:
    """Give the quality in letters (`AA`), and the cents by which the interval exceeds it."""
    letter, times, rest = _quality(steps, altered)
    return letter * times, rest


def read_interval(text: str) -> tuple[int, int, int]:
    """Read a short or long interval name: (steps, altered, sign), `sign` -1 for a descent."""
    plain = text.translate(_MINUS).strip()
    if not plain:
        raise TheoryError("An interval is missing, such as P5 or perfect fifth", text)
    if match := _SHORT.fullmatch(plain):
        return _read_short(text, match)
    lowered = " ".join(plain.lower().split())
    if lowered in _LOOSE:
        message, suggestion = _LOOSE[lowered]
        raise TheoryError(f"{message}: say which letters it spans", text, suggestion=suggestion)
    if match := _LONG.fullmatch(lowered):
        return _read_long(text, lowered, match)
    raise TheoryError(f"{plain!r} is no interval; write P5 or perfect fifth", text)


def _read_short(text: str, match: re.Match[str]) -> tuple[int, int, int]:
    quality, number = match["quality"], int(match["number"])
    letter = _WORD_QUALITIES.get(quality.lower()) if len(quality) > 2 else None
    if letter is None and set(quality) in ({"A"}, {"d"}):
        letter = quality[0]
    elif letter is None and quality in ("P", "M", "m", "n"):
        letter = quality
    if letter is None:
        near = {"p": "P", "a": "A", "D": "d", "N": "n"}.get(quality[0])
        if near is None or len(set(quality)) > 1 or number < 1:
            raise TheoryError("An interval opens with P, M, m, A, d or n, as in P5, m3, A4", text)
        wanted = match["down"] + near * len(quality) + match["number"]
        raise TheoryError(
            "The letter's case matters: P, M, m, A for augmented, d for diminished",
            text,
            suggestion=wanted,
        )
    times = len(quality) if set(quality) in ({"A"}, {"d"}) else 1
    cents = int(match["cents"] or 0)
    sign = -1 if match["down"] else 1
    return _measure(text, letter, times, number, cents, sign, short=True)


def _read_long(text: str, lowered: str, match: re.Match[str]) -> tuple[int, int, int]:
    number = _read_number(match["number"])
    if number is None:
        near = difflib.get_close_matches(match["number"], _NUMBERS, 1)
        repaired = lowered.replace(match["number"], near[0]) if near else None
        raise TheoryError(
            f"{match['number']!r} is no interval's number; say second, fifth, tenth",
            text,
            suggestion=repaired,
        )
    word = match["quality"]
    if word is None and (number - 1) % 7 == 0 and not match["times"]:
        word = "perfect"
    if word is None or word not in _WORD_QUALITIES:
        near = difflib.get_close_matches(word or "", _QUALITIES, 1)
        plain = "perfect" if (number - 1) % 7 in PERFECT_STEPS else "major"
        quality = near[0] if near else plain
        raise TheoryError(
            f"Say the quality of the {number_word(number)}: perfect, major, minor, augmented, "
            "diminished or neutral",
            text,
            suggestion=f"{quality} {number_word(number)}",
        )
    cents = int(match["cents"] or 0) * (-1 if match["over"] == "minus" else 1)
    sign = -1 if match["down"] == "descending " else 1
    times = _read_times(match["times"])
    return _measure(text, _WORD_QUALITIES[word], times, number, cents, sign, short=False)


def _read_number(word: str) -> int | None:
    if word in _NUMBERS:
        return _NUMBERS[word]
    match = re.fullmatch(r"([0-9]{1,3})(?:st|nd|rd|th)?", word)
    return int(match[1]) if match else None


def _read_times(word: str | None) -> int:
    if word is None:
        return 1
    if word in ("double", "twice"):
        return 2
    if word.endswith("-fold"):
        return int(word.removesuffix("-fold"))
    return _TIMES.index(word + " ") + 1


def _measure(
    text: str, letter: str, times: int, number: int, cents: int, sign: int, *, short: bool
) -> tuple[int, int, int]:
    """Turn a quality into cents, refusing those that the number cannot have."""
    if number < 1 or times < 1:
        raise TheoryError("Intervals are counted from 1, the unison", text)
    steps = number - 1
    perfect = steps % 7 in PERFECT_STEPS
    if perfect == (letter in "Mmn") and letter not in "Ad":
        kind = "perfect, augmented or diminished" if perfect else "major, minor, augmented or so"
        better = "perfect" if perfect else "major"
        raise TheoryError(
            f"A {number_word(number)} is {kind}, never {_word(letter)}",
            text,
            suggestion=(
                f"{'-' if sign < 0 else ''}{better[0].upper()}{number}"
                if short
                else f"{'descending ' if sign < 0 else ''}{better} {number_word(number)}"
            ),
        )
    base = {"P": 0, "M": 0, "m": -100, "n": -50, "A": 100 * times}.get(
        letter, -100 * times - (0 if perfect else 100)
    )
    altered = base + cents
    if steps == 0 and altered < 0:
        raise TheoryError(
            "There is no diminished unison: a unison that narrows leads down, as an augmented one",
            text,
            suggestion=("-" if sign > 0 else "") + "A" * times + "1"
            if short
            else ("descending " if sign > 0 else "")
            + f"{_TIMES[min(times, 6) - 1]}augmented unison",
        )
    return steps, altered, sign


def _word(letter: str) -> str:
    return next(name for name, short in _QUALITIES.items() if short == letter)
