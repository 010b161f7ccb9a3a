"""The shape of a rule, and what a rule may look at."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score

Check = Callable[[Score], Iterable[Finding]]
"""What a rule does: read a Score, yield what it finds. It never raises on a parsed Score."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One thing that is checked, with all that the handbook says about it."""

    id: str
    """One of `notation.finding.RULE_IDS`."""
    severity: Severity
    """The usual one; a rule may soften a finding it is less sure of."""
    explanation: str
    """Two sentences: what is checked, and why a reader would mind."""
    wrong: str
    """A music block (or, for a rule about prose, an article) that the rule finds something in."""
    right: str
    """The same, put right: nothing is found in it."""
    check: Check | None = None
    """None for findings that are made elsewhere, while reading the text or the article."""
