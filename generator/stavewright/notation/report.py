"""Gathers the findings of one block while it is read."""

from stavewright.notation.finding import Finding, Severity, in_order
from stavewright.notation.limits import MOST_FINDINGS
from stavewright.notation.passage import Passage
from stavewright.notation.source import Span
from stavewright.theory.errors import TheoryError


class Report:
    """Where the readers of a block put what they cannot read."""

    def __init__(self) -> None:
        self._findings: list[Finding] = []

    def add(
        self,
        span: Span,
        message: str,
        suggestion: str | None = None,
        reason: str | None = None,
        *,
        rule: str = "syntax",
    ) -> None:
        """Note an error; beyond `MOST_FINDINGS` nothing is kept."""
        if len(self._findings) < MOST_FINDINGS:
            self._findings.append(Finding(rule, Severity.ERROR, span, message, suggestion, reason))

    def theory(
        self, error: TheoryError, passage: Passage, start: int, end: int, *, rule: str = "syntax"
    ) -> None:
        """Note an error of the theory core, which read `passage.text[start:end]`.

        Where the core points at a part of the text, so does the finding.
        """
        first = min(start + error.start, end)
        last = min(max(start + error.end, first), end)
        self.add(passage.span(first, last), sentence(error.message), error.suggestion, rule=rule)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All that was noted, in the order of the file."""
        return in_order(self._findings)


def sentence(message: str) -> str:
    """Begin a message with a capital and end it without a full stop, as all of them do."""
    return (message[:1].upper() + message[1:]).rstrip(".")
