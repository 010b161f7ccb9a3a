"""What the signs between sharp and flat are called, each by its own tradition's term.

The size of such a step is not one number everywhere: in equal quarter tones it is 50 cents, in
Persian practice a koron lowers and a sori raises by about as much, and how much depends on mode,
place and player. A sign is a name for a place in a mode before it is a number of cents.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from stavewright.theory.pitch import Pitch, PitchName


@dataclass(frozen=True, slots=True)
class QuarterToneSign:
    """An accidental that moves a note by about a quarter of a tone, or by three."""

    term: str
    cents: int
    """Nominal size, upwards positive."""
    is_exact: bool
    """Whether the size is fixed, as in equal quarter tones, or only about so much."""
    used_in: str
    """Where the term is at home, with its source."""

    @property
    def words(self) -> str:
        """`half-flat: lowers by 50 cents (quarter-tone notation)`."""
        verb = "lowers" if self.cents < 0 else "raises"
        about = "" if self.is_exact else "about "
        return f"{self.term}: {verb} by {about}{abs(self.cents)} cents ({self.used_in})"


_EQUAL: Final = "equal quarter tones; common practice, no source"
_PERSIAN: Final = "Persian dastgah music; H. Farhat, The Dastgah Concept, 1990, from memory"

QUARTER_TONE_SIGNS: Final = (
    QuarterToneSign("half-flat", -50, True, _EQUAL),
    QuarterToneSign("half-sharp", 50, True, _EQUAL),
    QuarterToneSign("flat and a half", -150, True, _EQUAL),
    QuarterToneSign("sharp and a half", 150, True, _EQUAL),
    QuarterToneSign("koron", -50, False, _PERSIAN),
    QuarterToneSign("sori", 50, False, _PERSIAN),
)
"""Every sign that has a term here, those of equal quarter tones first."""


def quarter_tone_signs(note: Pitch | PitchName) -> tuple[QuarterToneSign, ...]:
    """Give the terms for a note's accidental; none where it is not a quarter or three of a tone."""
    return tuple(sign for sign in QUARTER_TONE_SIGNS if sign.cents == note.cents_altered)
