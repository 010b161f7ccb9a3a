"""bar-length: what a line writes in a bar against what its meter asks for."""

from collections.abc import Iterator

from stavewright.checking.bar_mending import repair_of
from stavewright.checking.bar_rows import BarRow, bar_rows
from stavewright.checking.metre import length_words
from stavewright.checking.rule import Rule
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score
from stavewright.notation.values import show_value

_REASON = (
    "The beats of a bar add up to its meter; only a pickup and the bar that completes it are "
    "shorter."
)
_REASON_OF_SYMBOLS = (
    "A symbol with a value holds for just as long, and a bar in which the values do not add up "
    "leaves open where each one stands; without values the symbols share the bar."
)


def _check(score: Score) -> Iterator[Finding]:
    rows = bar_rows(score)
    for row in (*rows.voices, *rows.symbols):
        for number in row.wrong_bars:
            yield from _about(score, row, number)


def _about(score: Score, row: BarRow, number: int) -> Iterator[Finding]:
    """One bar, by its index, in which a line does not add up."""
    span = row.bars[number].span or (row.voice.span if row.voice is not None else None)
    message = _message(score, row, number)
    if span is None or message is None:
        return
    if row.voice is None:
        yield Finding("bar-length", Severity.ERROR, span, message, None, _REASON_OF_SYMBOLS)
        return
    repair = repair_of(score, row.voice, number)
    if repair is None:
        yield Finding("bar-length", Severity.ERROR, span, message, None, _REASON)
    else:
        yield Finding("bar-length", Severity.ERROR, repair.span, message, repair.text, _REASON)


def _message(score: Score, row: BarRow, number: int) -> str | None:
    """What the bar holds and what its meter asks for; None where it has none."""
    bar = score.bars[number]
    name = f"Bar {bar.number}" if bar.number else "The pickup"
    whose = f" of {row.name}" if row.voice is None or len(score.voices) > 1 else ""
    if bar.meter is None or bar.expected is None:
        return None
    wanted = length_words(bar.expected, bar.meter)
    asks = f"{bar.meter} asks for {wanted.rsplit(' ', 1)[0]}"
    if bar.expected != bar.meter.length:
        asks = f"here it takes {wanted}"
    holds = row.bars[number].length
    message = f"{name}{whose} holds {length_words(holds, bar.meter)}; {asks}"
    short = row.voice is not None and 0 < 2 * holds <= bar.expected
    if short and number == 0 and score.pickup is None:
        message += f". A short first bar is a `pickup: {show_value(holds)}`"
    return message


RULE = Rule(
    id="bar-length",
    severity=Severity.ERROR,
    explanation=(
        "The notes and rests of each voice must fill each bar exactly as the meter asks, a pickup "
        "and the bar that completes it excepted. A bar with half a beat too many cannot be counted."
    ),
    wrong="""\
time: 4/4
notes: 1/4 C5 D5 E5 1/8 F5 | 1/1 G5
""",
    right="""\
time: 4/4
notes: 1/4 C5 D5 E5 F5 | 1/1 G5
""",
    check=_check,
)
