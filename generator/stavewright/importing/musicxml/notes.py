"""Notes and rests, and all that is written on them."""

import xml.etree.ElementTree as ET
from fractions import Fraction
from typing import Final

from stavewright.importing.draft import Draft, DraftTone
from stavewright.importing.musicxml.directions import VALUES, leave, read_dynamics
from stavewright.importing.musicxml.place import OpenGroup, PartState
from stavewright.importing.pitches import drum_named, drum_numbered, drum_placed, is_shown, pitch_of
from stavewright.importing.syllables import ELISION, sung
from stavewright.importing.tree import children, number, said, whole
from stavewright.notation.limits import LARGEST_RATIO, MOST_HEADS, MOST_PASSES
from stavewright.notation.score import Drum, EventMark, HeadMark, Silence
from stavewright.theory import Letter, Pitch

_MARKS: Final = {
    "accent": (EventMark.ACCENT,),
    "staccato": (EventMark.STACCATO,),
    "tenuto": (EventMark.TENUTO,),
    "detached-legato": (EventMark.TENUTO, EventMark.STACCATO),
    "trill-mark": (EventMark.TRILL,),
    "turn": (EventMark.TURN,),
    "mordent": (EventMark.MORDENT,),
}
_UNTOLD: Final = ("wavy-line", "accidental-mark", "other-notation", "footnote", "level")
"""Parts of other signs, and what says nothing."""
_BOTTOM_LINE: Final = 4 * 7 + 2
_CROSSES: Final = ("x", "cross", "circle-x", "diamond", "slash", "triangle")
_FINEST: Final = 128
"""Denominator of the finest length that a person writes."""
_CUE: Final = "cue note"


def read_note(state: PartState, element: ET.Element) -> None:
    """One `note` element: a tone of its own, a further tone of the last, or a rest."""
    is_grace = element.find("grace") is not None
    if element.find("chord") is not None and state.last is not None:
        _add_tone(state, state.last, element)
        _notations(state, state.last, element, further=True)
        return
    draft = _draft(state, element, is_grace=is_grace)
    _add_tone(state, draft, element)
    _groups(state, draft, element)
    _notations(state, draft, element)
    _lyrics(state, draft, element)
    state.last = draft
    if is_grace:
        state.graces.setdefault(draft.voice, []).append(draft)
        return
    waiting = state.graces.pop(draft.voice, [])
    draft.graces = [grace.as_grace() for grace in waiting if grace.tones]
    state.bar.drafts.append(draft)
    state.pass_by(draft.end, state.length(number(said(element, "duration")) or Fraction(0)))
    state.figure_offset = Fraction(0)


def _draft(state: PartState, element: ET.Element, *, is_grace: bool) -> Draft:
    place = whole(said(element, "staff"))
    value, ratio = _shape(element)
    length = state.length(number(said(element, "duration")) or Fraction(0))
    if is_grace:
        length, ratio = Fraction(0), Fraction(1)
    elif value is None or _is_meant(length / ratio, value, state.length(Fraction(1)) / ratio):
        # Many rests of a whole bar are written as whole rests; what lasts is what counts.
        value = length / ratio if ratio != 1 else None
    else:
        length = value * ratio
    draft = Draft(
        state.staff(place),
        said(element, "voice") or "1",
        state.now,
        length,
        value,
        ratio=ratio,
    )
    rest = element.find("rest")
    if rest is not None and rest.get("measure") == "yes":
        draft.value = None
    if rest is None and value is None and not is_grace:
        draft.value = length
    return draft


def _is_meant(length: Fraction, value: Fraction, division: Fraction) -> bool:
    """Whether a length other than the printed value is meant, rather than rounded or played.

    Some programs take the time of grace notes off the note they stand before.
    """
    is_plain = length.denominator.bit_count() == 1 and length.denominator <= _FINEST
    return is_plain and abs(value - length) >= division


def _shape(element: ET.Element) -> tuple[Fraction | None, Fraction]:
    """The printed value, None without one, and the ratio of the groups around."""
    value = VALUES.get(said(element, "type"))
    dots = min(len(element.findall("dot")), 4)
    if value is not None:
        value *= 2 - Fraction(1, 2**dots)
    change = element.find("time-modification")
    actual = whole(said(change, "actual-notes")) if change is not None else None
    normal = whole(said(change, "normal-notes")) if change is not None else None
    if not actual or not normal or actual < 1 or normal < 1 or actual == normal:
        return value, Fraction(1)
    return value, Fraction(normal, actual)


def _add_tone(state: PartState, draft: Draft, element: ET.Element) -> None:
    """Give a draft what sounds; what a block cannot hold leaves an unprinted rest."""
    if element.find("cue") is not None:
        state.remains.leave(_CUE, draft.staff)
    elif element.find("rest") is not None:
        hidden = element.get("print-object") == "no"
        draft.silence = Silence.SPACE if hidden else Silence.REST
        return
    elif element.get("print-object") == "no":
        state.remains.leave("hidden note", draft.staff)
    elif len(draft.tones) >= MOST_HEADS:
        state.remains.leave("note too many in a chord", many="notes too many in a chord")
    else:
        sound = _sound(state, element)
        if sound is not None and all(tone.sound != sound for tone in draft.tones):
            draft.tones.append(_tone(element, sound))
            draft.silence = None
            _leave_shift(state, element, draft.staff)
    if not draft.tones:
        draft.silence = Silence.SPACE


def _leave_shift(state: PartState, element: ET.Element, staff: int) -> None:
    """Tell of a note that sounds early or late: programs also write these where nobody meant it."""
    if number(element.get("attack")):
        state.remains.leave("note played early or late", staff, many="notes played early or late")


def _tone(element: ET.Element, sound: Pitch | Drum) -> DraftTone:
    ties = [each.get("type") for each in element.findall("tie")]
    ties += [each.get("type") for each in element.findall("notations/tied")]
    tone = DraftTone(sound, "start" in ties)
    head = element.find("notehead")
    if head is not None and head.get("parentheses") == "yes":
        tone.marks.add(HeadMark.GHOST)
    sign = element.find("accidental")
    if sign is not None and "yes" in (
        sign.get("parentheses"),
        sign.get("cautionary"),
        sign.get("bracket"),
    ):
        tone.marks.add(HeadMark.COURTESY)
    return tone


def _sound(state: PartState, element: ET.Element) -> Pitch | Drum | None:
    place = whole(said(element, "staff")) or 1
    if element.find("unpitched") is not None:
        return _drum(state, element)
    pitch = element.find("pitch")
    alter = number(said(pitch, "alter")) or Fraction(0)
    octave = whole(said(pitch, "octave"))
    written = None if octave is None else pitch_of(said(pitch, "step").upper(), alter * 100, octave)
    sounding = None if written is None else state.sounding(written, place)
    if sounding is None or not is_shown(sounding):
        state.remains.leave("note out of reach", state.staff(place), many="notes out of reach")
        return None
    return sounding


def _drum(state: PartState, element: ET.Element) -> Drum | None:
    """An instrument by its number, its name or its place on the staff."""
    instrument = element.find("instrument")
    name = instrument.get("id", "") if instrument is not None else ""
    alone = next(iter(state.instruments.values())) if len(state.instruments) == 1 else None
    number_ = state.instruments.get(name, alone)
    found = drum_numbered(number_) if number_ is not None else None
    if found is None:
        step, octave = (
            said(element, "unpitched/display-step"),
            said(element, "unpitched/display-octave"),
        )
        if step in Letter.__members__ and octave.isdigit():
            position = int(octave) * 7 + Letter[step].place - _BOTTOM_LINE
            found = drum_placed(position, cross=said(element, "notehead") in _CROSSES)
    if found is None:
        found = drum_named(said(element, "notehead")) or drum_named("snare")
        state.remains.leave(
            "percussion note without a known instrument, taken for a snare",
            many="percussion notes without a known instrument, taken for a snare",
        )
    return found


def _groups(state: PartState, draft: Draft, element: ET.Element) -> None:
    """The groups in a ratio that begin and end here, by the brackets the file draws."""
    marks = element.findall("notations/tuplet")
    open_ = state.groups.setdefault(draft.voice, [])
    starting = [mark for mark in marks if mark.get("type") == "start"]
    told = [_told(mark) for mark in starting]
    rest = 1 / draft.ratio
    for actual, normal in [*(group.ratio for group in open_), *filter(None, told)]:
        rest *= Fraction(normal, actual)
    alone = not open_ and len(told) == 1
    for mark, group in zip(starting, told, strict=True):
        # One bracket may leave its figures to the notes; more than one leaves them in doubt.
        found = group or (_figures(element) if alone else (rest.numerator, rest.denominator))
        open_.append(OpenGroup(mark.get("number", "1"), found, draft))
        rest = rest if group else Fraction(1)
    for mark in marks:
        if mark.get("type") == "stop":
            _close(open_, mark.get("number", "1"), draft)


def _close(open_: list[OpenGroup], number: str, draft: Draft) -> None:
    """End a group: of those that begin on one note, the one that ends later stands outside."""
    group = next((each for each in reversed(open_) if each.number == number), None)
    if group is not None:
        open_.remove(group)
        draft.closes += 1
        if max(group.ratio) <= LARGEST_RATIO:
            group.first.opens.insert(0, group.ratio)


def _figures(element: ET.Element) -> tuple[int, int]:
    """The ratio of a note as the file writes it: 6:4 is not made 3:2."""
    change = element.find("time-modification")
    return (
        whole(said(change, "actual-notes")) or 1,
        whole(said(change, "normal-notes")) or 1,
    )


def _told(mark: ET.Element) -> tuple[int, int] | None:
    """The ratio a bracket says of itself, in notes of one value: 5 16ths for 2 eighths are 5:4."""
    upper, lower = mark.find("tuplet-actual"), mark.find("tuplet-normal")
    actual, normal = (whole(said(each, "tuplet-number")) for each in (upper, lower))
    values = [VALUES.get(said(each, "tuplet-type")) for each in (upper, lower)]
    if not actual or not normal:
        return None
    if values[0] and values[1]:
        scaled = normal * values[1] / values[0]
        return (actual, int(scaled)) if scaled.denominator == 1 else None
    return actual, normal


def _notations(
    state: PartState, draft: Draft, element: ET.Element, *, further: bool = False
) -> None:
    for notations in element.findall("notations"):
        for tag, child in children(notations):
            if tag == "slur":
                _slur(state, draft, child, element)
            elif tag in ("articulations", "ornaments", "technical"):
                for name, _ in children(child):
                    _mark(state, draft, name, further=further)
            elif tag == "fermata":
                draft.marks.add(EventMark.FERMATA)
            elif tag == "arpeggiate":
                _arpeggio(state, draft, child)
            elif tag == "dynamics":
                read_dynamics(state, child, draft.at, draft.staff, draft.voice)
            elif tag not in ("tied", "tuplet", *_UNTOLD) and child.get("type") != "stop":
                leave(state, tag, draft.staff)


def _slur(state: PartState, draft: Draft, mark: ET.Element, note: ET.Element) -> None:
    name = f"{mark.get('number', '1')} in {draft.voice}"
    if note.find("grace") is not None:
        if mark.get("type") == "start":
            state.remains.leave(
                "slur from a grace note", draft.staff, many="slurs from grace notes"
            )
        return
    if mark.get("type") == "start":
        draft.slurs_from.add(name)
    elif mark.get("type") == "stop":
        draft.slurs_to.add(name)


def _mark(state: PartState, draft: Draft, name: str, *, further: bool) -> None:
    if name in _MARKS:
        draft.marks.update(_MARKS[name])
    elif name not in _UNTOLD and not (further and name == "tremolo"):
        leave(state, name, draft.staff)


def _arpeggio(state: PartState, draft: Draft, mark: ET.Element) -> None:
    if mark.get("direction") == "down":
        state.remains.leave("arpeggio downwards", draft.staff, many="arpeggios downwards")
    else:
        draft.marks.add(EventMark.ARPEGGIO)


def _lyrics(state: PartState, draft: Draft, element: ET.Element) -> None:
    for lyric in element.findall("lyric"):
        verse = whole(lyric.get("number")) or 1
        text = "".join(
            said(child) if tag == "text" else ELISION
            for tag, child in children(lyric)
            if tag in ("text", "elision")
        )
        syllabic = [said(child) for tag, child in children(lyric) if tag == "syllabic"]
        extend = lyric.find("extend")
        held = extend is not None and extend.get("type") != "stop"
        joined = bool(syllabic) and syllabic[-1] in ("begin", "middle")
        if text and 1 <= verse <= MOST_PASSES:
            draft.sung.append(sung(verse, text, joined=joined, held=held))
        elif lyric.find("laughing") is not None or lyric.find("humming") is not None:
            state.remains.leave("note laughed or hummed", many="notes laughed or hummed")
