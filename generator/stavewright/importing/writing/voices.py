"""Streams that come and go become voices that last: which stream is whose, and all their names."""

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Final

from stavewright.importing.model import Measure, StaffPart
from stavewright.notation.staves_field import voice_name_problem

_LONGEST: Final = 24
_HANDS: Final = {2: ("right", "left"), 3: ("right", "left", "pedal")}
_TWO_ON_ONE: Final = ("upper", "lower")
_CHOIR: Final = frozenset(
    ("soprano", "mezzo", "mezzo-soprano", "alto", "tenor", "baritone", "bass", "treble")
)


@dataclass(frozen=True, slots=True)
class Lane:
    """One voice: where it stands, and the file's names of the streams it gathers."""

    staff: int
    """Index into the staves of the piece."""
    name: str
    streams: frozenset[str]


@dataclass(slots=True)
class _Slot:
    names: set[str] = field(default_factory=set)
    bars: set[int] = field(default_factory=set)
    sounds: bool = False


def lanes(
    measures: Sequence[Measure], staves: Sequence[StaffPart], chosen: Sequence[int]
) -> tuple[Lane, ...]:
    """The voices of the chosen staves, in order."""
    slots = {staff: _slots(measures, staff) for staff in chosen}
    names = _names([(staves[staff], len(slots[staff])) for staff in chosen])
    found = []
    for staff, words in zip(chosen, names, strict=True):
        for slot, name in zip(slots[staff], words, strict=True):
            found.append(Lane(staff, name, frozenset(slot.names)))
    return tuple(found)


def _slots(measures: Sequence[Measure], staff: int) -> list[_Slot]:
    """As few voices as hold all streams of a staff apart; those that are always silent go."""
    bars: dict[str, set[int]] = {}
    sounding: set[str] = set()
    for index, measure in enumerate(measures):
        for stream in measure.streams:
            if stream.staff == staff:
                bars.setdefault(stream.name, set()).add(index)
                if any(sound.tones for sound in stream.sounds):
                    sounding.add(stream.name)
    slots: list[_Slot] = []
    for name in sorted(bars, key=_order):
        slot = next((each for each in slots if not each.bars & bars[name]), None)
        if slot is None:
            slots.append(slot := _Slot())
        slot.names.add(name)
        slot.bars |= bars[name]
        slot.sounds |= name in sounding
    heard = [slot for slot in slots if slot.sounds]
    return heard or slots[:1] or [_Slot()]


def _order(name: str) -> tuple[list[int], str]:
    return [int(digits) for digits in re.findall(r"\d{1,9}", name)], name


def _names(staves: Sequence[tuple[StaffPart, int]]) -> list[list[str]]:
    """A name for each voice of each staff."""
    if len(staves) == 1 and staves[0][1] == 2 and staves[0][0].of == 1:
        part = _parted(staves[0][0].part, 2)
        return [part or list(_TWO_ON_ONE)]
    several = {id(staff.part): staff.part for staff, _ in staves if staff.of > 1}
    alone = len({staff.part for staff, _ in staves if staff.of > 1}) <= 1 and bool(several)
    found: list[list[str]] = []
    taken: set[str] = set()
    total = Counter(_base(staff, alone=alone) for staff, _ in staves)
    seen: Counter[str] = Counter()
    for staff, count in staves:
        base = _base(staff, alone=alone)
        seen[base] += 1
        parted = _parted(staff.part, count) if staff.of == 1 and count > 1 else None
        if parted is None:
            first = f"{base}-{seen[base]}" if total[base] > 1 and seen[base] > 1 else base
            parted = [first, *(f"{first}-{number}" for number in range(2, count + 1))]
        found.append([_free(name, taken) for name in parted])
    return found


def _free(name: str, taken: set[str]) -> str:
    number = 2
    free = name
    while free in taken:
        free = f"{name}-{number}"
        number += 1
    taken.add(free)
    return free


def _base(staff: StaffPart, *, alone: bool) -> str:
    slug = voice_name(staff.part)
    if staff.of == 1:
        return slug or "part"
    hands = _HANDS.get(staff.of)
    hand = hands[staff.place - 1] if hands else f"staff-{staff.place}"
    return hand if alone or not slug else f"{slug}-{hand}"


def _parted(part: str, count: int) -> list[str] | None:
    """The names of several voices from a part's name that lists them, such as `Soprano Alto`."""
    listed = [word for word in re.split(r"[\s,&/+]+", part) if word]
    # `Violin I` is one name; lower-case words, and the voices of a choir, are several.
    if part != part.lower() and not all(word.lower() in _CHOIR for word in listed):
        return None
    words = [voice_name(word) for word in listed]
    return words if len(set(words)) == len(words) == count and all(words) else None


def voice_name(words: str) -> str:
    """A part's name as the name of a voice: `Violín II.` is `violin-ii`; may leave nothing."""
    plain = unicodedata.normalize("NFKD", words.replace("♭", " flat").replace("♯", " sharp"))
    letters = plain.encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", letters).strip("-")[:_LONGEST].rstrip("-")
    if not slug:
        return ""
    if voice_name_problem(slug) is not None:
        slug = f"part-{slug}"
    return slug


def staff_names(staves: Iterable[StaffPart]) -> list[str]:
    """Names by which an author chooses staves: unique, in order."""
    listed = list(staves)
    return [names[0] for names in _names([(staff, 1) for staff in listed])]
