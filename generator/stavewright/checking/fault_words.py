"""Says a fault in a musician's words, and why it matters."""

from stavewright.checking.fault import Fault, FaultKind
from stavewright.checking.metre import place_words
from stavewright.checking.sounding import Note
from stavewright.checking.verdicts import Verdict
from stavewright.checking.words import DEGREE_WORDS
from stavewright.theory.chord_tone import ChordTone

_REASONS = {
    FaultKind.RIVAL: "The third, fifth and seventh in their exact form are what a chord label "
    "tells the reader; a note in the place of one of them makes it another chord.",
    FaultKind.FOREIGN: "A note outside the chord is heard as harmony where it neither passes, nor "
    "is held over, nor goes to a chord tone by step.",
    FaultKind.UNNAMED: "A note that sounds as long as the chord does is part of it for the ear; "
    "the label says less than the notes.",
    FaultKind.MISSING: "A fifth may be left out, and the root of a seventh chord; the tones that "
    "give a chord its name may not, where the texture has room for them.",
    FaultKind.BASS: "A slash or a figure says which note lies lowest; the ear goes by the bass.",
    FaultKind.SPELLING: "A chord is spelled in thirds from its root, so that the eye sees its "
    "tones.",
}


def reason_for(fault: Fault) -> str:
    """Why a musician would mind."""
    return _REASONS[fault.kind]


def fault_message(fault: Fault, verdict: Verdict) -> str:
    """What is wrong, without a full stop."""
    label = verdict.reading.text
    chord = verdict.reading.chord
    meant = f"{label} ({' '.join(chord.spelling)})"
    where = _where(fault.note, verdict)
    match fault.kind, fault.note, fault.tone:
        case FaultKind.RIVAL, Note() as note, ChordTone() as tone:
            return (
                f"{label} has {tone.name} as its {tone_word(tone)}, but {note.pitch} sounds{where}"
            )
        case FaultKind.UNNAMED, Note() as note, _:
            return f"{note.pitch} sounds{where}, and {meant} does not name it"
        case FaultKind.FOREIGN, Note() as note, _:
            return f"{note.pitch}, which sounds{where}, is not in {meant}"
        case FaultKind.BASS, Note() as note, _:
            claimed = verdict.reading.bass
            return f"{label} has {claimed} in the bass, but the lowest note{where} is {note.pitch}"
        case FaultKind.MISSING, _, ChordTone() as tone:
            part = f"The {tone_word(tone)} of {label} is {tone.name}"
            return f"{part}, and no {tone.name} sounds under it{_bar(verdict)}"
        case FaultKind.SPELLING, Note() as note, ChordTone() as tone:
            part = f"The {tone_word(tone)} of {label} is {tone.name}"
            return f"{part}, and{where} it is written {note.pitch}"
        case _:
            return f"{meant} does not fit what sounds{where}"


def tone_word(tone: ChordTone) -> str:
    """`third`, `seventh`, `sharp eleventh`."""
    word = DEGREE_WORDS.get(tone.number, f"{tone.number}th")
    signs = {"b": "flat ", "#": "sharp "}
    altered = tone.number >= 9 or (tone.number == 5 and tone.degree != "5")
    return (signs.get(tone.degree[0], "") if altered else "") + word


def _where(note: Note | None, verdict: Verdict) -> str:
    hearing = verdict.hearing
    if note is None or not hearing.score.bars:
        return ""
    return f" in {place_words(hearing.score, max(note.start, hearing.start))}"


def _bar(verdict: Verdict) -> str:
    hearing = verdict.hearing
    if not hearing.score.bars:
        return ""
    return f" in {place_words(hearing.score, hearing.start)}"
