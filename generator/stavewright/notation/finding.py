"""What a check has to say, as a value.

Findings are gathered and sorted, never raised: one bad block does not hide the next. Their severity
says how sure the core is, see `Severity`.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from stavewright.notation.source import Span


class Severity(Enum):
    """How sure the core is that the author would want to change something."""

    ERROR = "error"
    """A contradiction inside what the author wrote."""
    WARNING = "warning"
    """Unusual spelling or naming that a careful editor would question."""
    ADVICE = "advice"
    """A convention of a style, given only where the block names that style."""

    @property
    def rank(self) -> int:
        """0 for the most serious."""
        return _RANKS[self]


_RANKS = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.ADVICE: 2}

RULE_IDS: tuple[str, ...] = (
    "syntax",
    "bar-length",
    "key-unknown",
    "key-theoretical",
    "key-signature",
    "key-spelling",
    "chord-symbol",
    "chord-label",
    "chord-spelling",
    "chord-redundant",
    "chord-voicing",
    "numeral-symbol",
    "numeral-label",
    "lines-disagree",
    "interval-name",
    "fugal-answer",
    "claim",
    "tie",
    "tuplet",
    "bar-count",
    "syllables",
    "voice-range",
    "parallel-fifths",
    "parallel-octaves",
    "direct-fifths",
    "direct-octaves",
    "leading-tone-resolution",
    "seventh-resolution",
    "doubling",
    "augmented-second",
    "six-four",
    "suspension",
    "cross-relation",
    "voice-spacing",
    "voice-crossing",
    "voice-overlap",
    "link",
    "term",
    "front-matter",
    "address",
    "credit",
)
"""Every rule an author can meet; `accept:` takes these and no others."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing the author should look at."""

    rule: str
    """One of `RULE_IDS`."""
    severity: Severity
    span: Span
    message: str
    """What is wrong, in words a musician would use."""
    suggestion: str | None = None
    """Text that, put in place of the span, makes the finding go away; None where there is no one
    right answer."""
    reason: str | None = None
    """Why, in one or two sentences, with a published source where there is one."""

    @property
    def sort_key(self) -> tuple[str, int, int, int, str, str]:
        """File order first, then the most serious."""
        span = self.span
        rank = self.severity.rank
        return (span.file, span.line, span.column, rank, self.rule, self.message)


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings in file order, each said once."""
    return tuple(sorted(dict.fromkeys(findings), key=lambda finding: finding.sort_key))
