"""Naming a set of sounding notes: every chord it may be, the likeliest first, with the reason.

Spelling counts. Notes that spell a chord are named from it before notes that only sound like one;
the latter are offered as respellings and say so. What the notes leave open is said plainly: C6 and
Am7 are the same four notes, and a bass is an argument, not a proof.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from stavewright.theory.chord import Chord
from stavewright.theory.errors import TheoryError
from stavewright.theory.naming_context import Argument, Setting, arguments, dominant_roots
from stavewright.theory.naming_match import (
    Match,
    acting,
    augmented_sixths_in,
    is_acting,
    spelled,
)
from stavewright.theory.naming_respelled import respelled, respelled_without_fifth
from stavewright.theory.numeral_naming import numeral_for

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stavewright.theory.interval import Interval
    from stavewright.theory.key import Key
    from stavewright.theory.numeral import Numeral
    from stavewright.theory.pitch import Pitch, PitchName


class Exactness(Enum):
    """How far the notes agree with the chord."""

    COMPLETE = "every note of the chord, and no other"
    INCOMPLETE = "the chord without a note that is often left out"
    ROOTLESS = "the chord without its root"
    FOREIGN_BASS = "the chord over a bass that is none of its notes"
    RESPELLED = "the sound of the chord, in another spelling"
    INTERVAL = "two notes"


@dataclass(frozen=True, slots=True)
class Candidate:
    """One name for the notes."""

    symbol: str
    """The chord symbol; for two notes the interval's short name."""
    chord: Chord | None
    """None for an interval."""
    reason: str
    """Why this name, and what else the notes may be, in whole sentences."""
    numeral: Numeral | None
    """In the key, if one was given and numerals have a word for the chord."""
    exactness: Exactness
    interval: Interval | None = None
    """The interval, for two notes."""

    def __str__(self) -> str:
        return self.symbol


def name_chord(
    pitches: Sequence[Pitch],
    key: Key | None = None,
    before: Chord | None = None,
    after: Chord | None = None,
) -> tuple[Candidate, ...]:
    """Name notes that sound together: ranked candidates, likeliest first.

    With the chord before or after, what each name would do there counts as much as how well the
    notes agree with it, and the reason says so: C E G A is C6 after G7 and Am7 before D7. A key
    alone ranks by what lies in it, and brings in the dominant whose flat sixth stands before its
    fifth: in A minor C E G# B over G# is Eaddb6/G# before it is Cmaj7#5/G#.

    Two notes, whatever their octaves, are an interval: the first candidate then has no chord, and
    a perfect fifth is named as a power chord after it. Notes that make no chord in the tables give
    no candidate, nor do quarter tones, for which chord symbols have no signs. Raises TheoryError
    where no pitch is given.
    """
    if not pitches:
        raise TheoryError("No notes to name")
    ordered = sorted(pitches)
    names = tuple(dict.fromkeys(pitch.name for pitch in ordered))
    if len(names) < 3:
        return _two_notes(ordered, names, key)
    if any(name.is_microtonal for name in names):
        return ()
    setting = Setting(key, before, after)
    all_found = [*spelled(names, ordered), *respelled(names)]
    all_found = all_found or [*respelled_without_fifth(names)]
    if key is not None:
        all_found += augmented_sixths_in(key, names)
    for root in dominant_roots(setting):
        all_found += acting(root, names, ordered)
    matches = _without_repeats(sorted(all_found, key=lambda match: _rank(match, setting)))
    return tuple(_candidate(match, matches, names, setting) for match in matches)


def _without_repeats(found: Sequence[Match]) -> list[Match]:
    """Keep each chord once, and no foreign bass where a chord accounts for every note."""
    is_named = any(_exactness(match) is Exactness.COMPLETE for match in found)
    matches: dict[Chord, Match] = {}
    for match in found:
        if not (is_named and _exactness(match) is Exactness.FOREIGN_BASS):
            matches.setdefault(match.chord, match)
    return list(matches.values())


def _two_notes(
    ordered: list[Pitch], names: tuple[PitchName, ...], key: Key | None
) -> tuple[Candidate, ...]:
    low, high = ordered[0], ordered[-1]
    if len(names) == 2 and high.name == low.name:
        high = next(pitch for pitch in ordered if pitch.name != low.name)
    interval = low.interval_to(high)
    said = f"{low} to {high} is {_article(interval.name)}"
    reason = f"Two notes are an interval, not a chord: {said}."
    if len(names) == 1:
        reason = f"One note alone is no chord: {said}."
    first = Candidate(interval.short, None, reason, None, Exactness.INTERVAL, interval)
    for root in () if any(name.is_microtonal for name in names) else names:
        power = Chord.on(root, "5", names[0])
        if set(power.names) == set(names):
            why = "Root and fifth alone are written as a power chord; the third is left open."
            numeral = numeral_for(power, key) if key else None
            return (first, Candidate(power.symbol, power, why, numeral, Exactness.COMPLETE))
    return (first,)


def _rank(match: Match, setting: Setting) -> tuple[int, int, int, int, str]:
    """Order of likelihood: agreement and function first, then the key, then plainness."""
    chord, key = match.chord, setting.key
    strain = match.strain - _weight(match, setting)
    outside = 0
    if key is not None:
        outside = sum(not key.contains(name) for name in chord.names) + 2 * (
            numeral_for(chord, key) is None
        )
    return (strain, outside, match.changed, match.plainness, chord.symbol)


def _arguments(match: Match, setting: Setting) -> tuple[Argument, ...]:
    """Give what the place speaks for.

    A key alone speaks only for a name that it brought in; nothing makes up for another spelling,
    nor does a root that does not sound hold on to that of a neighbour.
    """
    if match.changed or not (setting.has_neighbours or is_acting(match.chord)):
        return ()
    is_rootless = match.chord.root in match.missing
    found = arguments(match.chord, setting)
    return tuple(each for each in found if each.weight > 1 or not is_rootless)


def _weight(match: Match, setting: Setting) -> int:
    return sum(argument.weight for argument in _arguments(match, setting))


def _candidate(
    match: Match, matches: Sequence[Match], names: tuple[PitchName, ...], setting: Setting
) -> Candidate:
    numeral = numeral_for(match.chord, setting.key) if setting.key else None
    exactness = _exactness(match)
    sentences = [_why(match, exactness, names)]
    rivals = [
        other
        for other in matches
        if other is not match and _exactness(other) is exactness is Exactness.COMPLETE
    ]
    if rivals:
        sentences.append(_rivalry(match, rivals, setting))
    symmetric = _symmetry(match, matches)
    if symmetric:
        sentences.append(symmetric)
    sentences += [argument.words for argument in _arguments(match, setting)]
    if numeral is not None:
        sentences.append(f"In {setting.key} it is {numeral}.")
    return Candidate(match.chord.symbol, match.chord, " ".join(sentences), numeral, exactness)


def _rivalry(match: Match, rivals: Sequence[Match], setting: Setting) -> str:
    """Say which names the same notes have, and for which of them their place speaks."""
    said = f"The same notes are {_listed([rival.chord.symbol for rival in rivals])}"
    weights = {each.chord.symbol: _weight(each, setting) for each in (match, *rivals)}
    strongest = [s for s, weight in weights.items() if weight == max(weights.values())]
    if not any(weights.values()):
        return f"{said}; only the context decides."
    if len(strongest) > 1:
        return f"{said}; the context speaks for each."
    return f"{said}; the context speaks for {strongest[0]}."


def _exactness(match: Match) -> Exactness:
    if match.changed:
        return Exactness.RESPELLED
    if match.chord.root in match.missing:
        return Exactness.ROOTLESS
    if match.chord.has_foreign_bass:
        return Exactness.FOREIGN_BASS
    return Exactness.INCOMPLETE if match.missing else Exactness.COMPLETE


def _why(match: Match, exactness: Exactness, names: tuple[PitchName, ...]) -> str:
    chord = match.chord
    if chord.root is None:
        return _augmented_sixth_words(chord)
    given = " ".join(name.spelled for name in names)
    left_out = [f"the {_tone_word(chord, name)} {name.spelled}" for name in match.missing]
    if exactness is Exactness.RESPELLED:
        heard = (n.spelled for n in chord.names_from_bass if n not in match.missing)
        without = f" without {left_out[0]}" if left_out else ""
        return (
            f"{given} sounds like {chord.symbol} ({chord.quality}){without}, which is spelled "
            f"{' '.join(heard)}."
        )
    what = f"{given} is {_article(f'{chord.root} {chord.quality}')}"
    if left_out:
        what += f" without {' and '.join(left_out)}"
    return f"{what}, {_bass_words(chord, match)}."


def _augmented_sixth_words(chord: Chord) -> str:
    what = f"{' '.join(chord.from_bass)} is {_article(chord.quality)}"
    low, high = chord.names[0], chord.names[-1]
    if chord.bass == low:
        return (
            f"{what}: its outer notes are an augmented sixth apart and move outwards to an octave."
        )
    return f"{what} over {chord.bass}: its {low} and {high} both move to the note between them."


def _tone_word(chord: Chord, name: PitchName) -> str:
    words = {1: "root", 3: "third", 5: "fifth", 7: "seventh", 9: "ninth", 11: "eleventh"}
    tone = chord.tone(name)
    return words.get(tone.number, "tone") if tone else "tone"


def _bass_words(chord: Chord, match: Match) -> str:
    if chord.bass == chord.root:
        return "root in the bass"
    if chord.has_foreign_bass:
        return f"over {chord.bass.spelled}, which is none of its notes"
    if chord.root in match.missing:
        return f"{chord.bass.spelled} in the bass"
    tone = chord.tone(chord.bass)
    ordinals = {2: "second", 3: "third", 4: "fourth", 5: "fifth", 6: "sixth", 7: "seventh"}
    ordinals |= {9: "ninth", 11: "eleventh", 13: "thirteenth"}
    return f"{ordinals[tone.number]} in the bass" if tone else "over another bass"


def _symmetry(match: Match, matches: Sequence[Match]) -> str:
    """Say of chords that divide the octave evenly that any of their notes may be the root."""
    kinds = {"dim7": "Diminished sevenths", "aug": "Augmented triads"}
    kind = kinds.get(match.chord.suffix)
    same = [
        m.chord.symbol for m in matches if m is not match and m.chord.suffix == match.chord.suffix
    ]
    if kind is None or not same:
        return ""
    return f"{kind} divide the octave evenly: by ear it may as well be {_listed(same)}."


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _article(words: str) -> str:
    # "an A minor triad", "an F sharp", yet "a B flat" and "a French": of a note the letter's name
    # decides, of other words their first letter.
    first = words.split()[0]
    is_note = not first.strip("ABCDEFG#b")
    by_name = first[0] in "AEF" if is_note else first[0] in "aeiouI"
    return f"{'an' if by_name else 'a'} {words}"
