"""What a tuning ruler shows: its rows, their tones in cents, and how each lies to equal steps."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from stavewright.figures.mei.ids import head_id
from stavewright.figures.spoken.tones import key_words, listed, name_words, pitch_words
from stavewright.figures.views.labels import chord_text, no_pitch_words
from stavewright.notation.score import Event, Score
from stavewright.theory import Pitch, PitchName
from stavewright.theory.tuning import EqualDivision

OCTAVE = 1200
SCOPE = (
    "A scale in cents is one reading. What is played may lie elsewhere, "
    "and a tradition is more than its scale."
)
"""What a scale in cents is not, for the figure and its words."""
_MOST_ROWS = 8
"""Chords with a row each; more are shown together on one."""
_FEWEST = 2
"""Notes at once that make a row of their own."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One place on a row: every tone that lies there, octaves folded into one where they must."""

    cents: int
    """Above the row's beginning."""
    names: tuple[PitchName, ...]
    """Every spelling that lies here."""
    off: Fraction
    """Cents above the nearest equal step; negative is below it."""
    is_halfway: bool
    """Whether the steps on both sides are equally near; it is then counted from the lower."""
    emphasised: bool
    ids: tuple[str, ...]
    """What the player lights: note ids of a chord, else keys."""

    @property
    def off_text(self) -> str:
        """`−14 ¢`; nothing on a step."""
        if not self.off:
            return ""
        return f"{'+' if self.off > 0 else '−'}{cents_text(abs(self.off))} ¢"


@dataclass(frozen=True, slots=True)
class RulerRow:
    """One axis, an octave long, with what sounds above its lowest note or its tonic."""

    title: str
    """The chord's symbol or number; empty where there is one row."""
    start: Pitch
    marks: tuple[Mark, ...]
    is_folded: bool
    """Whether tones of several octaves share the row."""
    by_note: bool
    """Whether `ids` are of notes (a chord lights alone) and not of keys."""


def cents_text(cents: Fraction | int) -> str:
    """Cents as a number, at most one decimal."""
    return f"{round(float(cents), 1):g}"


def division(score: Score) -> EqualDivision:
    """The equal steps that `tuning:` names, or the common twelve."""
    return EqualDivision(score.tuning.steps if score.tuning else 12)


def ruler_rows(score: Score) -> tuple[RulerRow, ...]:
    """A row for each different chord, or one for a scale or melody; none without pitch."""
    groups = _groups(score)
    chords = {tuple(sorted(pitches)): None for pitches in groups.values()}
    are_chords = all(len(pitches) >= _FEWEST for pitches in chords)
    if groups and are_chords and len(chords) <= _MOST_ROWS and score.scale is None:
        return tuple(_chord_rows(score, groups))
    heads = [head for pitches in groups.values() for head in pitches]
    return (_whole_row(score, heads),) if heads else ()


_Group = dict[Pitch, list[str]]
"""The pitches that begin together, each with the ids of its notes."""


def _groups(score: Score) -> dict[tuple[Fraction, int], _Group]:
    """Notes by when they begin; bare heads take no time and stand each by itself."""
    found: dict[tuple[Fraction, int], _Group] = {}
    for voice in score.voices:
        for index, event in enumerate(voice.events):
            if event.heads:
                moment = (event.start, 0 if event.duration else index)
                group = found.setdefault(moment, {})
                _add(group, voice.name, index, event)
    return {moment: group for moment, group in sorted(found.items()) if group}


def _add(group: _Group, voice: str, index: int, event: Event) -> None:
    for at, head in enumerate(event.heads):
        if isinstance(head.sound, Pitch):
            ids = group.setdefault(head.sound, [])
            ids.append(head_id(voice, index, at, len(event.heads)))


def _chord_rows(score: Score, groups: dict[tuple[Fraction, int], _Group]) -> Iterator[RulerRow]:
    merged: dict[tuple[Pitch, ...], _Group] = {}
    titles: dict[tuple[Pitch, ...], str] = {}
    for (at, _), group in groups.items():
        pitches = tuple(sorted(group))
        together = merged.setdefault(pitches, {})
        for pitch, names in group.items():
            together.setdefault(pitch, []).extend(names)
        titles.setdefault(pitches, _symbol(score, at))
    for number, (pitches, tones) in enumerate(merged.items(), start=1):
        title = titles[pitches]
        if len(merged) > 1 and list(titles.values()).count(title) > 1:
            title = f"{number} {title}".rstrip()
        ids = {pitch: tuple(found) for pitch, found in tones.items()}
        yield _row(score, title, pitches[0], ids, by_note=True)


def _symbol(score: Score, at: Fraction) -> str:
    symbols = (event for event in score.chords if event.start == at and event.chord)
    return next((chord_text(event.chord) for event in symbols if event.chord), "")


def _whole_row(score: Score, heads: Iterable[Pitch]) -> RulerRow:
    ids: dict[Pitch, tuple[str, ...]] = {pitch: (f"{pitch.key_number:g}",) for pitch in heads}
    lowest = min(ids)
    start = lowest
    if score.scale is not None:
        start = score.scale.tonic.at(lowest.octave)
    elif score.key is not None:
        start = score.key.tonic.at(lowest.octave)
    if start > lowest:
        start = Pitch(start.letter, start.cents_altered, start.octave - 1)
    return _row(score, "", start, ids, by_note=False)


def _row(
    score: Score, title: str, start: Pitch, ids: dict[Pitch, tuple[str, ...]], *, by_note: bool
) -> RulerRow:
    """Put tones on a row; octaves are folded where they reach past one above its beginning."""
    heights = {pitch: pitch.cents - start.cents for pitch in ids}
    is_folded = max(heights.values()) > OCTAVE
    places: dict[int, list[Pitch]] = {}
    for pitch in sorted(ids):
        cents = heights[pitch] % OCTAVE if is_folded else heights[pitch]
        places.setdefault(cents, []).append(pitch)
    emphasised = _emphasised(score)
    steps = division(score)
    marks = tuple(
        _mark(cents, steps, here, ids, is_emphasised=any(p.name in emphasised for p in here))
        for cents, here in sorted(places.items())
    )
    return RulerRow(title, start, marks, is_folded, by_note)


def _mark(
    cents: int,
    steps: EqualDivision,
    here: list[Pitch],
    ids: dict[Pitch, tuple[str, ...]],
    *,
    is_emphasised: bool,
) -> Mark:
    lower = cents // steps.step
    over = cents - lower * steps.step
    is_halfway = 2 * over == steps.step
    off = over - steps.step if 2 * over > steps.step else over
    names = tuple(dict.fromkeys(pitch.name for pitch in here))
    lit = tuple(dict.fromkeys(name for pitch in here for name in ids[pitch]))
    return Mark(cents, names, off, is_halfway, is_emphasised, lit)


def _emphasised(score: Score) -> frozenset[PitchName]:
    heads = (head for voice in score.voices for event in voice.events for head in event.heads)
    return frozenset(
        head.sound.name for head in heads if head.emphasised and isinstance(head.sound, Pitch)
    )


def is_reading(score: Score) -> bool:
    """Whether the scale is given in cents, which is somebody's reading of what is played."""
    return score.scale is not None and score.scale.name.startswith("steps")


def ruler_words(score: Score) -> tuple[str, tuple[str, ...]]:
    """The line, and every row tone by tone."""
    rows = ruler_rows(score)
    if not rows:
        return f"Tuning ruler. {no_pitch_words(score)}", ()
    line = f"Tuning ruler in cents against {_steps_words(division(score))}"
    line += f", from {_from_words(score, rows)}." if len(rows) == 1 else f", {len(rows)} chords."
    many = len(rows) > 1
    said = [_row_words(row, place if many else 0) for place, row in enumerate(rows, start=1)]
    return line, (*said, *((SCOPE,) if is_reading(score) else ()))


def _steps_words(steps: EqualDivision) -> str:
    return f"{steps.steps} equal steps of {cents_text(steps.step)} cents"


def _from_words(score: Score, rows: tuple[RulerRow, ...]) -> str:
    start = pitch_words(rows[0].start)
    if score.scale is None and score.key is not None and not rows[0].by_note:
        return f"the tonic of {key_words(score.key)}"
    return start


def _row_words(row: RulerRow, number: int) -> str:
    title = f"Chord {number}, from {pitch_words(row.start)}: " if number else ""
    said = listed([_mark_words(mark) for mark in row.marks])
    on_steps = [mark for mark in row.marks if not mark.off]
    rest = "all on equal steps" if len(on_steps) == len(row.marks) else "the others on equal steps"
    folded = "; all octaves folded into one" if row.is_folded else ""
    return f"{title}{said}{f'; {rest}' if on_steps else ''}{folded}."


def _mark_words(mark: Mark) -> str:
    where = f"{' or '.join(map(name_words, mark.names))} at {mark.cents}"
    if not mark.off:
        return where
    if mark.is_halfway:
        return f"{where} (halfway between two steps)"
    way = "above" if mark.off > 0 else "below"
    return f"{where} ({cents_text(abs(mark.off))} {way} the nearest step)"
