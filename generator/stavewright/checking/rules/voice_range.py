"""voice-range: notes that a named voice does not have, or that a staff cannot show."""

import re
from collections.abc import Iterator

from stavewright.checking.ranges import CHORAL_RANGES, INSTRUMENT_RANGES, Range
from stavewright.checking.rule import Rule
from stavewright.checking.words import counted
from stavewright.notation.clefs import CLEFS
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Event, Score, Voice
from stavewright.theory.pitch import Letter, Pitch

_MOST_LEDGER_LINES = 6
"""Beyond these readers count lines instead of reading notes."""
_CLEF_PITCHES = {"G": (Letter.G, 4), "F": (Letter.F, 3), "C": (Letter.C, 4)}


def _check(score: Score) -> Iterator[Finding]:
    for voice in score.voices:
        allowed = _range_of(voice, score)
        for event in voice.events:
            for head in event.heads:
                if not isinstance(head.sound, Pitch) or head.span is None:
                    continue
                message = _out_of_range(head.sound, voice, allowed)
                message = message or _off_the_staff(head.sound, event, voice, score)
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


def _off_the_staff(pitch: Pitch, event: Event, voice: Voice, score: Score) -> str | None:
    clef = CLEFS.get(_clef_at(event, voice, score))
    if clef is None or clef.sign not in _CLEF_PITCHES:
        return None
    letter, octave = _CLEF_PITCHES[clef.sign]
    bottom = (octave + clef.octaves) * 7 + letter.place - 2 * (clef.line - 1)
    place = _printed(pitch, voice).staff_position - bottom
    lines = max(-place, place - 8) // 2
    if lines <= _MOST_LEDGER_LINES:
        return None
    return f"{pitch} needs {counted(lines, 'ledger line')} in the {clef.name} clef"


def _printed(pitch: Pitch, voice: Voice) -> Pitch:
    return pitch if voice.transposition is None else pitch + voice.transposition


def _clef_at(event: Event, voice: Voice, score: Score) -> str:
    """The clef in force: the staff's own, or the last change before the event."""
    changes = [c for c in score.clef_changes if c.staff == voice.staff and c.at <= event.start]
    return changes[-1].clef if changes else score.staves[voice.staff].clef


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
