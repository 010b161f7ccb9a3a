"""voice-range: notes that a named voice does not have, or that a staff cannot show."""

import re
from collections.abc import Iterator

from stavewright.checking.ranges import CHORAL_RANGES, INSTRUMENT_RANGES, Range
from stavewright.checking.rule import Rule
from stavewright.checking.words import counted
from stavewright.notation.clefs import CLEFS, Clef
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import ClefChange, Event, Score, Voice
from stavewright.theory.pitch import Letter, Pitch

_MOST_LEDGER_LINES = 6
"""Beyond these readers count lines instead of reading notes."""
_CLEF_PITCHES = {
    "G": Pitch(Letter.G, 0, 4).staff_position,
    "F": Pitch(Letter.F, 0, 3).staff_position,
    "C": Pitch(Letter.C, 0, 4).staff_position,
}
"""The staff position of the note that each sign marks."""


def _check(score: Score) -> Iterator[Finding]:
    for voice in score.voices:
        allowed = _range_of(voice, score)
        opening = CLEFS.get(score.staves[voice.staff].clef)
        changes = [change for change in score.clef_changes if change.staff == voice.staff]
        for event in voice.events:
            clef = _clef_at(event, changes) if changes else None
            for head in event.heads:
                if not isinstance(head.sound, Pitch) or head.span is None:
                    continue
                message = _out_of_range(head.sound, voice, allowed)
                message = message or _off_the_staff(head.sound, voice, clef or opening)
                if message:
                    yield Finding(
                        "voice-range", Severity.WARNING, head.span, message, None, _REASON
                    )


_REASON = "A note that cannot be sung, played or read where it stands is often an octave slip."


def _range_of(voice: Voice, score: Score) -> Range | None:
    """The range of a voice by its name, numbers aside: `violin-2` is a violin."""
    name = re.sub(r"-?\d+$", "", voice.name)
    if name in INSTRUMENT_RANGES:
        return INSTRUMENT_RANGES[name]
    singers = [other.name for other in score.voices if other.name in CHORAL_RANGES]
    sung = any(words.voice == voice.name for words in score.words)
    return CHORAL_RANGES.get(name) if len(singers) > 1 or sung else None


def _out_of_range(pitch: Pitch, voice: Voice, allowed: Range | None) -> str | None:
    if allowed is None or allowed.lowest.cents <= pitch.cents <= allowed.highest.cents:
        return None
    instrument = re.sub(r"-?\d+$", "", voice.name)
    where = "below" if pitch.cents < allowed.lowest.cents else "above"
    return f"{pitch} lies {where} the range of the {instrument} ({allowed})"


def _off_the_staff(pitch: Pitch, voice: Voice, clef: Clef | None) -> str | None:
    if clef is None or clef.sign not in _CLEF_PITCHES:
        return None
    at_clef = _CLEF_PITCHES[clef.sign] + 7 * clef.octaves
    bottom = at_clef - 2 * (clef.line - 1)
    place = _printed(pitch, voice).staff_position - bottom
    lines = max(-place, place - 8) // 2
    if lines <= _MOST_LEDGER_LINES:
        return None
    return f"{pitch} needs {counted(lines, 'ledger line')} in the {clef.name} clef"


def _printed(pitch: Pitch, voice: Voice) -> Pitch:
    return pitch if voice.transposition is None else pitch + voice.transposition


def _clef_at(event: Event, changes: list[ClefChange]) -> Clef | None:
    """The clef that the last change before an event has brought, if there is one."""
    passed = [change.clef for change in changes if change.at <= event.start]
    return CLEFS.get(passed[-1]) if passed else None


RULE = Rule(
    id="voice-range",
    severity=Severity.WARNING,
    explanation=(
        "A voice that is named after a singer or an instrument is held to what that voice can "
        "sound, and every note to what a staff can show in its clef. A note far outside is nearly "
        "always written in the wrong octave."
    ),
    wrong="""\
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 B5
alto: 1/2 G4 G4
tenor: 1/2 E4 D5
bass: 1/2 C3 G2
""",
    right="""\
staves: treble(soprano alto) bass(tenor bass)
soprano: 1/2 C5 B4
alto: 1/2 G4 G4
tenor: 1/2 E4 D4
bass: 1/2 C3 G2
""",
    check=_check,
)
