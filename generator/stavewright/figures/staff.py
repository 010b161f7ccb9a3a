"""The view `staff`: notes on staves, drawn by the engraver."""

from collections.abc import Sequence
from dataclasses import replace

from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob, Figure
from stavewright.figures.mei import document, fault_in
from stavewright.figures.mei import documents as written_mei
from stavewright.figures.musicxml import is_mixed, musicxml_file
from stavewright.figures.spoken import speak_staff
from stavewright.figures.svg import labelled
from stavewright.notation.realise import realise
from stavewright.notation.score import Event, Score, Silence, Staff, Voice, VoiceBar

WIDE = 760
"""Pixels of a column of text on a desktop screen: a wider staff is wrapped."""
_UNNAMED = "notes"
NARROW = 340
"""Pixels of a phone held upright, less its margins."""


def charted(score: Score) -> Score:
    """A chart of symbols in a metre, given an empty staff to stand over; others as they are."""
    if score.voices or not score.bars or not (score.chords or score.numerals):
        return score
    events = tuple(
        Event(bar.start, bar.length, None, index, silence=Silence.SPACE)
        for index, bar in enumerate(score.bars)
    )
    bars = tuple(VoiceBar(index, bar.length) for index, bar in enumerate(score.bars))
    voice = Voice(_UNNAMED, 0, events, bars)
    stave = Staff(score.clef or "treble", (_UNNAMED,), declared=False)
    return replace(score, staves=(stave,), voices=(voice,))


def jobs(score: Score) -> tuple[EngravingJob, ...] | EngravingFault:
    """What the engraver is to draw: the wide staff, then the narrow one."""
    score = charted(score)
    fault = fault_in(score)
    if fault is not None:
        return fault
    mei = written_mei(score)
    return (EngravingJob(mei.wide, WIDE), EngravingJob(mei.narrow, NARROW))


def documents(score: Score, mei: str | None = None) -> tuple[str, bytes | None] | None:
    """The score as MEI, as the engraver is given it for the wide staff, and as MusicXML.

    A scale or a chord list is written out first. `mei` is what a figure of this score was engraved
    from, if there is one; it is not worked out again then. None where there is no staff to write;
    without MusicXML where bare heads stand beside note values.
    """
    written = charted(realise(score))
    if not written.voices or fault_in(written) is not None:
        return None
    return mei or document(written), None if is_mixed(written) else musicxml_file(written)


def figure(
    score: Score, asked: Sequence[EngravingJob], results: Sequence[Drawing | EngravingFault]
) -> Figure | EngravingFault:
    """Put a figure together from `jobs(score)` and what the engraver gave for them."""
    wide, narrow = results
    if isinstance(wide, EngravingFault):
        return wide
    spoken = speak_staff(charted(score))
    small = None
    # Where only the narrow one failed, the wide one can still be scrolled.
    if wide.width > NARROW and isinstance(narrow, Drawing) and narrow.width < wide.width:
        small = labelled(narrow, spoken.line)
    return Figure("staff", labelled(wide, spoken.line), small, spoken, asked[0].mei)
