"""What is true of the two sides of a claim."""

from dataclasses import dataclass

from stavewright.notation.source import Span


@dataclass(frozen=True, slots=True)
class Slip:
    """One word of a statement that is wrong, and what stands there rightly."""

    span: Span
    right: str


@dataclass(frozen=True, slots=True)
class Truth:
    """How a subject and a statement really stand."""

    equal: bool
    """Whether they are the same, spelling included."""
    alike: bool
    """Whether they sound the same."""
    fact: str
    """What is true, as a clause: `F7 is F A C Eb`."""
    right: str | None = None
    """A statement that would be equal, to stand in the place of the one made."""
    slip: Slip | None = None
    """Where a single word is wrong."""
    reason: str | None = None
