"""tie: a tie meets the same spelled pitch in the next event of its voice."""

from collections.abc import Iterator

from stavewright.checking.rule import Rule
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
                    yield from _about(head, after)


def _is_met(head: Head, after: Event | None) -> bool:
    return after is not None and any(other.sound == head.sound for other in after.heads)


def _about(head: Head, after: Event | None) -> Iterator[Finding]:
    if head.span is None:
        return
    name = str(head.sound) if isinstance(head.sound, Pitch) else head.sound.name
    twin = _other_spelling(head, after)
    if twin is not None and twin.span is not None:
        message = f"{name} is tied to {twin.sound}, which sounds the same and is spelled otherwise"
        yield Finding("tie", Severity.ERROR, twin.span, message, name, _REASON)
        return
    message = f"The tie from {name} meets no {name}: {_met(after)}"
    yield Finding("tie", Severity.ERROR, head.span, message, _only_note(head, after), _REASON)


def _other_spelling(head: Head, after: Event | None) -> Head | None:
    """The note of the next event that sounds the same under another name."""
    if after is None or not isinstance(head.sound, Pitch):
        return None
    pitch = head.sound
    return next(
        (o for o in after.heads if isinstance(o.sound, Pitch) and o.sound.sounds_like(pitch)), None
    )


def _met(after: Event | None) -> str:
    if after is None:
        return "the voice ends here"
    if not after.heads:
        return "a silence follows"
    names = [str(h.sound) if isinstance(h.sound, Pitch) else h.sound.name for h in after.heads]
    return f"{'&'.join(names)} follows"


def _only_note(head: Head, after: Event | None) -> str | None:
    """The pitch the tie would meet, where there is just one and it differs by an accidental."""
    if after is None or len(after.heads) != 1 or not isinstance(head.sound, Pitch):
        return None
    other = after.heads[0].sound
    near = isinstance(other, Pitch) and other.staff_position == head.sound.staff_position
    return str(other) if near else None


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
