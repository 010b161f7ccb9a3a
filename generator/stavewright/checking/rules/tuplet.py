"""tuplet: a group in a ratio divides into as many equal parts as it says."""

from collections.abc import Iterator
from fractions import Fraction

from stavewright.checking.rule import Rule
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score, Tuplet, Voice


def _check(score: Score) -> Iterator[Finding]:
    for voice in score.voices:
        for at, tuplet in enumerate(voice.tuplets):
            if tuplet.span is None:
                continue
            total = _written_total(voice, tuplet, voice.tuplets[:at])
            if not _is_note_value(total / tuplet.actual):
                yield Finding(
                    "tuplet",
                    Severity.ERROR,
                    tuplet.span,
                    f"The group holds {total} of a whole note, which does not make "
                    f"{tuplet.actual} equal note values; {_fitting(total, tuplet)}",
                    None,
                    f"{tuplet.actual}:{tuplet.normal} means {tuplet.actual} notes of one value, or "
                    f"what fills their place, in the time of {tuplet.normal}.",
                )


def _written_total(voice: Voice, tuplet: Tuplet, earlier: tuple[Tuplet, ...]) -> Fraction:
    """What the events of a group add up to as printed, groups within it as they last there."""
    ratio = Fraction(tuplet.normal, tuplet.actual)
    for other in earlier:
        if other.first <= tuplet.first and tuplet.last <= other.last:
            ratio *= Fraction(other.normal, other.actual)
    events = voice.events[tuplet.first : tuplet.last + 1]
    return sum((event.duration for event in events), Fraction(0)) / ratio


def _is_note_value(length: Fraction) -> bool:
    return length > 0 and length.denominator.bit_count() == 1


def _fitting(total: Fraction, tuplet: Tuplet) -> str:
    """The nearest total that would do, in the value the group counts in."""
    unit = Fraction(1, total.denominator)
    return f"{tuplet.actual} notes of {unit} make {tuplet.actual * unit}"


RULE = Rule(
    id="tuplet",
    severity=Severity.ERROR,
    explanation=(
        "A group such as 3:2 holds three notes of one value, or what fills their place. With two "
        "or four in it the group lasts a length that no note can show."
    ),
    wrong="""\
notes: 3:2(1/8 C5 D5) 1/4 E5
""",
    right="""\
notes: 3:2(1/8 C5 D5 E5) 1/4 F5
""",
    check=_check,
)
