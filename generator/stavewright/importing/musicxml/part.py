"""One part, measure by measure."""

import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from stavewright.importing.draft import Draft, home_staves
from stavewright.importing.model import Measure, StaffPart
from stavewright.importing.musicxml.attributes import read_attributes
from stavewright.importing.musicxml.directions import read_barline, read_direction, read_sound
from stavewright.importing.musicxml.harmony import read_figures, read_harmony
from stavewright.importing.musicxml.notes import read_note
from stavewright.importing.musicxml.place import NO_INTERVAL, Bar, PartState
from stavewright.importing.remains import Remains
from stavewright.importing.tree import children, number, said, whole
from stavewright.notation.clefs import PERCUSSION
from stavewright.notation.score import Drum, Silence

_MOST_STAVES = 10
_UNSEEN = Silence.SPACE


@dataclass(frozen=True, slots=True)
class PartMusic:
    """A part, read."""

    staves: tuple[StaffPart, ...]
    measures: tuple[Measure, ...]
    swing: str | None = None


def staves_of(part: ET.Element) -> int:
    """How many staves a part has: the most it says anywhere."""
    counts = [whole(said(each)) or 1 for each in part.iter("staves")]
    return min(_MOST_STAVES, max([1, *counts]))


def read_part(
    part: ET.Element, name: str, instruments: dict[str, int], first: int, remains: Remains
) -> PartMusic:
    """Read a part whose first staff is number `first` of the piece."""
    state = PartState(first, remains, instruments, Bar("", -1), staves_of(part))
    bars: list[Bar] = []
    for index, measure in enumerate(part.findall("measure")):
        _read_measure(state, measure, index)
        if state.bar.repeats_before and not any(draft.tones for draft in state.bar.drafts) and bars:
            _repeat_bar(state.bar, bars[-1])
        bars.append(state.bar)
    remains.bar = -1
    homes = home_staves(bar.drafts for bar in bars)
    for bar in bars:
        _place_dynamics(bar, remains)
    measures = tuple(bar.closed(bar.length, homes) for bar in bars)
    return PartMusic(tuple(_staves(state, name, bars)), measures, state.swing)


def _read_measure(state: PartState, measure: ET.Element, index: int) -> None:
    text = measure.get("number", "")
    state.bar = Bar(text, index)
    state.bar.uncounted = measure.get("implicit") == "yes"
    state.bar.ending = state.ending
    state.remains.bar = index
    state.begin()
    for tag, child in children(measure):
        if tag == "note":
            read_note(state, child)
        elif tag in ("backup", "forward"):
            step = state.length(number(said(child, "duration")) or Fraction(0))
            state.step(step if tag == "forward" else -step)
        elif tag == "sound":
            read_sound(state, child, state.now)
        elif tag in _READERS:
            _READERS[tag](state, child)
    _flush_graces(state)


_READERS = {
    "attributes": read_attributes,
    "direction": read_direction,
    "harmony": read_harmony,
    "figured-bass": read_figures,
    "barline": read_barline,
}


def _flush_graces(state: PartState) -> None:
    """Grace notes with nothing after them in their bar end the note before."""
    for waiting in state.graces.values():
        for grace in waiting:
            state.remains.leave(
                "grace note after its note", grace.staff, many="grace notes after their note"
            )
    state.graces.clear()


def _repeat_bar(bar: Bar, before: Bar) -> None:
    """Write out a sign for repeating the bar before."""
    bar.drafts = [
        replace(draft, slurs_from=set(), slurs_to=set(), sung=[]) for draft in before.drafts
    ]
    bar.length = before.length


def _place_dynamics(bar: Bar, remains: Remains) -> None:
    """Give each dynamic to the sound it stands at, or to the next of its staff."""
    remains.bar = bar.index
    # One that stands at a note comes before one that only finds a note after it.
    starts = {(draft.staff, draft.at) for draft in bar.drafts if draft.silence is not _UNSEEN}
    waiting = sorted(bar.dynamics, key=lambda each: (each[0].staff, each[0].at) not in starts)
    for placed, voice in waiting:
        target = _target(bar.drafts, placed.at, placed.staff, voice)
        if target is None:
            remains.leave(
                f"dynamic {placed.what} between notes",
                placed.staff,
                many=f"dynamics {placed.what} between notes",
            )
        else:
            target.dynamic = placed.what


def _target(drafts: Sequence[Draft], at: Fraction, staff: int, voice: str) -> Draft | None:
    found = [
        each
        for each in drafts
        if each.staff == staff and each.at >= at and each.silence is not _UNSEEN
    ]
    # A file that names the voice is believed, even where that voice rests.
    found.sort(key=lambda each: (each.at, each.voice != voice, not each.tones))
    return next((each for each in found if each.dynamic is None), None)


def _staves(state: PartState, name: str, bars: Sequence[Bar]) -> list[StaffPart]:
    found = []
    for place in range(1, state.staves + 1):
        staff = state.staff(place)
        clefs = [clef for clef in bars[0].clefs if clef.staff == staff] if bars else []
        opening = next((c.what for c in clefs if c.at == 0), "treble" if place == 1 else "bass")
        drums = any(
            isinstance(tone.sound, Drum)
            for bar in bars
            for draft in bar.drafts
            if draft.staff == staff
            for tone in draft.tones
        )
        interval = state.transposition(place)
        found.append(
            StaffPart(
                name,
                place,
                state.staves,
                None if interval == NO_INTERVAL or drums else -interval,
                drums,
                PERCUSSION if drums else opening,
            )
        )
    return found
