"""What chord-label and numeral-label share: a label at odds with the notes, made a finding."""

from collections.abc import Callable, Iterable, Iterator

from stavewright.checking.fault_words import fault_message, reason_for
from stavewright.checking.quarrels import accused
from stavewright.checking.verdicts import Verdict
from stavewright.notation.finding import Finding
from stavewright.notation.score import Score


def label_findings(
    rule: str,
    score: Score,
    verdicts: Iterable[Verdict],
    fitting: Callable[[Verdict], str | None],
) -> Iterator[Finding]:
    """One finding for each label that the notes contradict and of which no other rule speaks.

    `fitting` gives the label that would fit what sounds, if there is one.
    """
    elsewhere = accused(score)
    for verdict in verdicts:
        if not verdict.harmony_faults or verdict.reading.span in elsewhere:
            continue
        fault = verdict.harmony_faults[0]
        better = fitting(verdict)
        message = fault_message(fault, verdict) + (f"; {better} fits what sounds" if better else "")
        span = verdict.reading.span
        yield Finding(rule, fault.severity, span, message, better, reason_for(fault))
