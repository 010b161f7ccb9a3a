"""tie: a tie meets the same spelled pitch in the next event of its voice."""

from collections.abc import Iterator

from stavewright.checking.rule import Rule
from stavewright.checking.sounding import is_tied_over
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Event, Head, Score
from stavewright.theory.pitch import Pitch

_REASON = (
    "A tie makes one longer note of two with the same pitch and spelling; between different notes "
    "the same curve is a slur."
)


def _check(score: Score) -> Iterator[Finding]:
    for voice in score.voices:
        for at, event in enumerate(voice.events):
            after = voice.events[at + 1] if at + 1 < len(voice.events) else None
            for head in event.heads:
                if head.tied and not _is_met(head, after):
                    yield from _about(head, after, is_held=is_tied_over(voice, at, head))


def _is_met(head: Head, after: Event | None) -> bool:
    return after is not None and any(other.sound == head.sound for other in after.heads)


def _about(head: Head, after: Event | None, *, is_held: bool) -> Iterator[Finding]:
    """A tie and the event it should meet."""
    if head.span is None:
        return
    name = _name(head)
    meant, how = _meant(head, after)
    if meant is None:
        message = f"The tie from {name} meets no {name}: {_met(after)}"
        yield Finding("tie", Severity.ERROR, head.span, message, None, _REASON)
        return
    message = f"{name} is tied to {meant.sound}, {how}"
    if not meant.tied:
        yield Finding("tie", Severity.ERROR, meant.span or head.span, message, name, _REASON)
    else:
        # The other note is held on, so that the one it is tied from is the odd one out.
        better = None if is_held else str(meant.sound)
        yield Finding("tie", Severity.ERROR, head.span, message, better, _REASON)


def _name(head: Head) -> str:
    return str(head.sound) if isinstance(head.sound, Pitch) else head.sound.name


def _meant(head: Head, after: Event | None) -> tuple[Head | None, str]:
    """The note of the next event that the tie was plainly meant for, and how it differs."""
    pitch = head.sound
    if after is None or not isinstance(pitch, Pitch):
        return None, ""
    for other in after.heads:
        if isinstance(other.sound, Pitch) and other.sound.sounds_like(pitch):
            return other, "which sounds the same and is spelled otherwise"
    only = after.heads[0] if len(after.heads) == 1 else None
    if only is not None and isinstance(only.sound, Pitch):
        if only.sound.staff_position == pitch.staff_position:
            # Print leaves the accidental out after a tie over the bar line; here it is written.
            return only, "which has another accidental"
        if only.sound.name == pitch.name:
            return only, "which lies in another octave"
    return None, ""


def _met(after: Event | None) -> str:
    if after is None:
        return "the voice ends here"
    if not after.heads:
        return "a silence follows"
    return f"{'&'.join(map(_name, after.heads))} follows"


RULE = Rule(
    id="tie",
    severity=Severity.ERROR,
    explanation=(
        "A tied note must be followed in its voice by the same pitch in the same spelling. A tie "
        "to another note would be read as a slur and played as two notes."
    ),
    wrong="""\
time: 4/4
notes: 1/2 F#5 C#5_ | Db5 C5
""",
    right="""\
time: 4/4
notes: 1/2 F#5 C#5_ | C#5 C5
""",
    check=_check,
)
