"""Does a chord fit what sounds? The heart of every label check.

How it works. Each note under the label is a tone of the chord, a tone in another spelling, or
foreign. A foreign note that its line explains (see `ornaments`) is set aside. What remains is
weighed: a foreign note that takes the place of a tone (E where Cm asks for Eb) contradicts the
label; one that is merely added makes the label say too little; a defining tone that never sounds
counts only where the texture has room for it; and the bass counts only as far as the label speaks
of it. Each demand is a small function that yields faults; nothing is judged twice.

The demands are common practice, no source; where practice is divided the fault is a warning or is
not raised at all, because a check that cries wolf is switched off.
"""

from collections.abc import Iterator
from fractions import Fraction

from stavewright.checking.bass import bass_faults
from stavewright.checking.fault import Fault, FaultKind
from stavewright.checking.heard import Heard, Part, take_in
from stavewright.checking.hearing import Hearing
from stavewright.checking.melody import melody_faults
from stavewright.checking.metre import beat_length
from stavewright.checking.ornaments import Ornament
from stavewright.checking.reading import Reading, chords_of
from stavewright.checking.sounding import Note
from stavewright.notation.finding import Severity
from stavewright.theory.chord_tone import ChordTone

_HALF = Fraction(1, 2)
_QUARTER = Fraction(1, 4)
_EIGHTH = Fraction(1, 8)


def judge(reading: Reading, hearing: Hearing) -> tuple[Fault, ...]:
    """Everything in which a label disagrees with what sounds, the most serious first."""
    heard = take_in(reading, hearing)
    if not heard.parts:
        return ()
    faults = list(_spelling(heard))
    if hearing.is_melody:
        faults += melody_faults(heard)
    else:
        faults += [*(_foreign(heard) or _unsupported(heard)), *_missing(heard), *bass_faults(heard)]
    # Of equals the one that names a note comes first: it says most.
    return tuple(sorted(faults, key=lambda fault: (fault.severity.rank, fault.note is None)))


def best(readings: tuple[Reading, ...], hearing: Hearing) -> tuple[Reading, tuple[Fault, ...]]:
    """The reading with the mildest faults; the first of equals."""
    judged = [(reading, judge(reading, hearing)) for reading in readings]
    return min(judged, key=lambda each: [fault.severity.rank - 3 for fault in each[1]])


def _spelling(heard: Heard) -> Iterator[Fault]:
    """Tones that sound right and are spelled as other notes."""
    softer = heard.hearing.is_melody
    for part in heard.parts:
        if part.alike is None:
            continue
        # Nearly every lead sheet writes the A of Cdim7 where theory has B double flat.
        plain = part.alike.degree == "bb7" or softer
        severity = Severity.WARNING if plain else Severity.ERROR
        yield Fault(FaultKind.SPELLING, severity, part.note, part.alike)


def _foreign(heard: Heard) -> list[Fault]:
    """Notes outside the chord that no line explains."""
    return [fault for part in heard.strangers for fault in _about_stranger(heard, part)]


def _unsupported(heard: Heard) -> list[Fault]:
    """Ornaments that leave next to nothing of the chord which they are said to adorn."""
    foreign = [p.note for p in heard.parts if not p.belongs and p.ornament is not Ornament.PEDAL]
    if not foreign or heard.is_thin:
        return []
    length = heard.hearing.end - heard.hearing.start
    own = sum((heard.hearing.share(p.note) for p in heard.parts if p.belongs), Fraction(0))
    others = sum((heard.hearing.share(note) for note in foreign), Fraction(0))
    short = length < beat_length(heard.hearing.score, heard.hearing.start)
    if short or own * 2 > others:
        return []
    longest = max(foreign, key=heard.hearing.share)
    return [Fault(FaultKind.FOREIGN, Severity.ERROR, longest)]


def _about_stranger(heard: Heard, part: Part) -> Iterator[Fault]:
    """What one unexplained note tells against the label."""
    rival = heard.rival(part.note)
    if rival is None:
        yield from _added(heard, part.note)
    elif not heard.has(rival):
        plain = not heard.is_thin or _is_weighty(heard, part.note)
        severity = Severity.ERROR if plain else Severity.WARNING
        yield Fault(FaultKind.RIVAL, severity, part.note, rival)
    elif _is_weighty(heard, part.note) and not heard.is_blue(part.note):
        much = heard.total_share(part.note) >= _HALF
        yield Fault(FaultKind.RIVAL, Severity.ERROR if much else Severity.WARNING, part.note, rival)


def _added(heard: Heard, note: Note) -> Iterator[Fault]:
    """A foreign note that stands in no tone's place."""
    if not _is_weighty(heard, note):
        return
    is_tune = heard.is_tune(note)
    lenient = is_tune and not heard.reading.names_every_note
    if heard.is_thin and is_tune:
        if not lenient:
            yield Fault(FaultKind.UNNAMED, Severity.WARNING, note)
    elif not heard.is_complete or note in heard.hearing.lowest_notes[:1]:
        yield Fault(FaultKind.FOREIGN, Severity.ERROR, note)
    elif not lenient:
        strict = heard.reading.names_every_note and not heard.is_seventh(note)
        severity = Severity.ERROR if strict else Severity.WARNING
        yield Fault(FaultKind.UNNAMED, severity, note)


def _is_weighty(heard: Heard, note: Note) -> bool:
    """Whether the ear takes the note for harmony: it lasts, or it opens the chord on a beat."""
    hearing = heard.hearing
    share = heard.total_share(note)
    opens = note.onset <= hearing.onset and hearing.weight(note) > 0
    if hearing.is_figured and (opens or share >= _EIGHTH):
        return True
    return share >= _HALF or (opens and share >= _QUARTER)


def _missing(heard: Heard) -> Iterator[Fault]:
    """Defining tones that the texture has room for and that never sound."""
    yield from _missing_root(heard)
    for tone in heard.reading.chord.required:
        if heard.has(tone) or heard.is_delayed(tone) or _is_understood(heard, tone):
            continue
        severity = _weight_of_absence(heard, tone)
        if severity is not None:
            yield Fault(FaultKind.MISSING, severity, None, tone)


def _missing_root(heard: Heard) -> Iterator[Fault]:
    """The root of a seventh chord, which a numeral builds on and a chord symbol may leave out."""
    tones = heard.reading.chord.tones
    if not heard.reading.names_every_note or len(tones) != 4 or heard.hearing.fullness < 3:
        return
    root = tones[0]
    if root.number != 1 or root.is_required or heard.has(root):
        return
    if not _was_heard_before(heard, root):
        yield Fault(FaultKind.MISSING, Severity.WARNING, None, root)


def _was_heard_before(heard: Heard, root: ChordTone) -> bool:
    """Whether the label before stands on the same root, and it sounded there: V6 going on as V65.

    The ear keeps the root while the other tones move.
    """
    hearing = heard.hearing
    before = next((e for e in hearing.score.numerals if e.end == hearing.start), None)
    if before is None or before.numeral is None or before.key is None:
        return False
    if all(chord.root != root.name for chord in chords_of(before.numeral, before.key)):
        return False
    onset = hearing.sounding.ticks.count(before.start)
    earlier = hearing.sounding.within(onset, hearing.onset)
    return any(note.pitch.name == root.name for note in earlier)


def _weight_of_absence(heard: Heard, tone: ChordTone) -> Severity | None:
    """How much a missing tone tells against the label, None where it may well be left out."""
    room = heard.hearing.fullness
    if room < 3:
        return None
    if tone.number == 1:
        return Severity.WARNING
    if tone.number in (6, 7) and heard.is_plain_triad:
        return Severity.ERROR
    if tone.number >= 9:
        spare = room >= 4 and (room > len(heard.reading.chord.required) or heard.has_fifth)
        if not spare:
            return None
        in_stack = tone.degree in ("9", "11", "13")
        return Severity.WARNING if in_stack else Severity.ERROR
    short = heard.hearing.end - heard.hearing.start < beat_length(
        heard.hearing.score, heard.hearing.start
    )
    if short:
        # A label for half a beat names a moment; its other tones sounded just before.
        return None
    if tone.number == 5 and heard.has_seventh:
        return Severity.WARNING
    if room >= 4:
        return Severity.ERROR
    shell = tone.number in (2, 3, 4) and heard.has_seventh and not heard.has_fifth
    if shell or (heard.is_scattered and not heard.reading.names_every_note):
        return None
    return Severity.WARNING


def _is_understood(heard: Heard, tone: ChordTone) -> bool:
    """Whether part-writing may double another tone of a numeral's seventh chord instead.

    So for the fifth, and for the third of a chord whose root and fifth make a tritone.
    """
    if not heard.reading.names_every_note:
        return False
    root, fifth = heard.reading.chord.tones[0], heard.reading.chord.tone_numbered(5)
    if not heard.has_seventh or not heard.has(root) or fifth is None:
        return False
    return tone.number == 5 or (tone.number == 3 and fifth.degree == "b5" and heard.has(fifth))
