"""tuplet: a group in a ratio divides into as many equal parts as it says."""

from collections.abc import Iterator
from fractions import Fraction

from stavewright.checking.rule import Rule
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score, Tuplet, Voice
from stavewright.theory.tuplet_ratio import TupletRatio


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
                    _message(voice, tuplet, total),
                    _usual_ratio(score, voice, tuplet, total),
                    _REASON,
                )


_REASON = (
    "3:2 means three notes of one value, or what fills their place, in the time of two; so with "
    "any ratio."
)


def _unit(voice: Voice, tuplet: Tuplet) -> Fraction:
    """The shortest value in a group."""
    values = [e.value for e in voice.events[tuplet.first : tuplet.last + 1] if e.value]
    return min(values, default=Fraction(1, 8))


def _usual_ratio(score: Score, voice: Voice, tuplet: Tuplet, total: Fraction) -> str | None:
    """The usual group of as many notes as there are, where with it the bar adds up."""
    number = voice.events[tuplet.first].bar
    bar, count = score.bars[number], total / _unit(voice, tuplet)
    alone = sum(each.first <= tuplet.last and tuplet.first <= each.last for each in voice.tuplets)
    ratio = TupletRatio.usual(int(count)) if count.denominator == 1 else None
    if bar.expected is None or ratio is None or alone > 1:
        return None
    change = total * (ratio.factor - Fraction(tuplet.normal, tuplet.actual))
    adds_up = voice.bars[number].length + change == bar.expected
    return f"{ratio}(" if adds_up else None


def _message(voice: Voice, tuplet: Tuplet, total: Fraction) -> str:
    """How much the group holds and how much it asks for, counted in its shortest value."""
    unit = _unit(voice, tuplet)
    holds = total / unit
    held = f"{holds} × {unit}" if holds.denominator == 1 else f"{total}"
    return (
        f"{tuplet.actual}:{tuplet.normal} asks for {tuplet.actual} × {unit} or as much in other "
        f"values; the group holds {held}"
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
