"""The view `staff`: notes on staves, drawn by the engraver."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from stavewright.figures.figure import Drawing, EngravingFault, EngravingJob, Figure
from stavewright.figures.mei import Sheet, document, fault_in
from stavewright.figures.mei import documents as written_mei
from stavewright.figures.musicxml import is_mixed, musicxml_file
from stavewright.figures.spoken import Reading, speak_staff
from stavewright.figures.svg.titles import labelled
from stavewright.notation.realise import realise
from stavewright.notation.score import Event, Score, Silence, Staff, Voice, VoiceBar

WIDE = 760
"""Pixels of a column of text on a desktop screen: a wider staff is wrapped."""
_UNNAMED = "notes"
NARROW = 340
"""Pixels of a phone held upright, less its margins."""


@dataclass(frozen=True, slots=True)
class StaffFigure(Figure):
    """A figure that was engraved, and what from."""

    sheet: Sheet
    mei: str
    """What the engraver was given for the wide drawing."""


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


def sheet_of(score: Score) -> Sheet | EngravingFault:
    """What the staff is written from; the notes of a scale or a list of chords are written out."""
    written = charted(score)
    return fault_in(written) or Sheet.of(written)


def jobs(sheet: Sheet) -> tuple[EngravingJob, ...]:
    """What the engraver is to draw: the wide staff, then the narrow one."""
    mei = written_mei(sheet)
    return (EngravingJob(mei.wide, WIDE), EngravingJob(mei.narrow, NARROW))


def documents(score: Score, drawn: StaffFigure | None = None) -> tuple[str, bytes | None] | None:
    """The score as MEI, as the engraver is given it for the wide staff, and as MusicXML.

    A scale or a chord list is written out first. `drawn` is the figure of this score, if it has
    one: nothing of that is worked out again then. None where there is no staff to write; without
    MusicXML where bare heads stand beside note values.
    """
    sheet = drawn.sheet if drawn is not None else sheet_of(realise(score))
    if isinstance(sheet, EngravingFault):
        return None
    mei = drawn.mei if drawn is not None else document(sheet)
    return mei, None if is_mixed(sheet.score) else musicxml_file(sheet)


def figure(
    sheet: Sheet,
    reading: Reading,
    asked: Sequence[EngravingJob],
    results: Sequence[Drawing | EngravingFault],
) -> StaffFigure | EngravingFault:
    """Put a figure together from `jobs(sheet)`, what the engraver gave for them, and the words."""
    wide, narrow = results
    if isinstance(wide, EngravingFault):
        return wide
    spoken = speak_staff(reading.score, reading)
    small = None
    # Where only the narrow one failed, the wide one can still be scrolled.
    if wide.width > NARROW and isinstance(narrow, Drawing) and narrow.width < wide.width:
        small = labelled(narrow, spoken.line)
    return StaffFigure("staff", labelled(wide, spoken.line), small, spoken, sheet, asked[0].mei)
