"""A score for the staff, with what its print needs worked out: what MEI and MusicXML start from."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stavewright.figures.mei.accidentals import HeadPlace, Sign, printed_signs
from stavewright.figures.mei.lyrics import Sung, sung_syllables
from stavewright.figures.mei.strands import Strand, voice_strand
from stavewright.notation.score import Score


@dataclass(frozen=True, slots=True)
class Sheet:
    """A score in which `limits.fault_in` finds nothing, and what stands at its notes."""

    score: Score
    signs: Mapping[HeadPlace, Sign]
    """Before every pitched head."""
    sung: Mapping[tuple[int, int], Sequence[Sung]]
    """The syllables under an event, by voice and event."""
    strands: tuple[Strand, ...]
    """Of each voice by itself."""

    @classmethod
    def of(cls, score: Score) -> "Sheet":
        """Work it out; the notes of a scale or a list of chords must be written out already."""
        strands = tuple(voice_strand(score, index) for index in range(len(score.voices)))
        return cls(score, printed_signs(score), sung_syllables(score), strands)
