"""bar-length: what a voice writes in a bar against what its metre asks for."""

from collections.abc import Iterator

from stavewright.checking.metre import length_words
from stavewright.checking.rule import Rule
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Bar, Score, Voice, VoiceBar


def _check(score: Score) -> Iterator[Finding]:
    for voice in score.voices:
        for bar, written in zip(score.bars, voice.bars, strict=False):
            if bar.expected is not None and written.length != bar.expected:
                yield from _about(score, voice, bar, written)


def _about(score: Score, voice: Voice, bar: Bar, written: VoiceBar) -> Iterator[Finding]:
    span = written.span or voice.span
    if span is None or bar.meter is None or bar.expected is None:
        return
    name = f"Bar {bar.number}" if bar.number else "The pickup"
    whose = f" of {voice.name}" if len(score.voices) > 1 else ""
    wanted = length_words(bar.expected, bar.meter)
    asks = f"{bar.meter} asks for {wanted.rsplit(' ', 1)[0]}"
    if bar.expected != bar.meter.length:
        asks = f"here it takes {wanted}"
    message = f"{name}{whose} holds {length_words(written.length, bar.meter)}; {asks}"
    reason = (
        "The beats of a bar add up to its metre; only a pickup and the bar that completes it are "
        "shorter."
    )
    yield Finding("bar-length", Severity.ERROR, span, message, None, reason)


RULE = Rule(
    id="bar-length",
    severity=Severity.ERROR,
    explanation=(
        "The notes and rests of each voice must fill each bar exactly as the metre asks, a pickup "
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
