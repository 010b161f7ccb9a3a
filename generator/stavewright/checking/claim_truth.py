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
    right_alike: str | None = None
    """A statement that would only sound the same, where none but the subject itself is equal."""
    likeness: str | None = "sounds the same under another name"
    """What a statement that is alike and not equal does; None where the fact says it."""
    are_names: bool = False
    """Whether both sides are names, so that of two that are alike the sign is what is wrong."""
    contrasts: bool = False
    """Whether the fact speaks of both sides, so that nothing is left to say."""
    slip: Slip | None = None
    """Where a single word is wrong."""
    reason: str | None = None
