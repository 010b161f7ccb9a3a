"""chord-spelling: tones of a chord that are written as other notes of the same sound."""

from collections.abc import Iterator

from stavewright.checking.fault_words import fault_message, reason_for
from stavewright.checking.judging import judge
from stavewright.checking.respelling import note_respelled, other_names
from stavewright.checking.rule import Rule
from stavewright.checking.verdicts import Verdict, chord_verdicts, numeral_verdicts
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score
from stavewright.notation.source import Span
from stavewright.theory.chord import Chord
from stavewright.theory.pitch import PitchName


def _check(score: Score) -> Iterator[Finding]:
    symbols, numerals = chord_verdicts(score), numeral_verdicts(score)
    misspelled = [verdict for verdict in (*symbols, *numerals) if verdict.spelling_faults]
    if not misspelled:
        return
    # What one line spells so, the other cannot call misspelled: that is lines-disagree's to say.
    said = _spelled_by_a_label((*symbols, *numerals))
    agreed = {v.reading.start for v in numerals if not v.faults and v.reading.chord.root is None}
    for verdict in misspelled:
        if verdict.reading.numeral is None and verdict.reading.start in agreed:
            # The numeral names the augmented sixth that the symbol writes as it sounds.
            continue
        for finding in (*_whole(verdict), *_tones(verdict)):
            if finding.span not in said:
                said.add(finding.span)
                yield finding


def _spelled_by_a_label(verdicts: tuple[Verdict, ...]) -> set[Span]:
    """The notes that some label has among its tones, as they are written."""
    return {
        span
        for verdict in verdicts
        for note in verdict.hearing.notes
        if verdict.reading.chord.tone(note.pitch.name) is not None
        for span in note.spans
    }


def _whole(verdict: Verdict) -> Iterator[Finding]:
    """A symbol whose every tone is spelled otherwise: the label itself is the odd one."""
    better = _respelled_symbol(verdict)
    if better is not None:
        notes = " ".join(dict.fromkeys(note.pitch.spelled for note in verdict.hearing.notes))
        message = f"The notes {notes} sound like {verdict.reading.text} and spell {better}"
        fault = verdict.spelling_faults[0]
        yield Finding(
            "chord-spelling",
            fault.severity,
            verdict.reading.span,
            message,
            better.symbol,
            reason_for(fault),
        )


def _tones(verdict: Verdict) -> Iterator[Finding]:
    """The single tones that are spelled otherwise."""
    if _respelled_symbol(verdict) is not None:
        return
    for fault in verdict.spelling_faults:
        note, tone = fault.note, fault.tone
        if note is None or tone is None:
            continue
        right = note_respelled(note, tone.name)
        better = None if right is None else str(right)
        message, reason = fault_message(fault, verdict), reason_for(fault)
        for span in note.spans:
            yield Finding("chord-spelling", fault.severity, span, message, better, reason)


def _respelled_symbol(verdict: Verdict) -> Chord | None:
    """The symbol on the root that the notes spell, if they spell none of the label's tones."""
    chord = verdict.reading.chord
    names = {note.pitch.name for note in verdict.hearing.notes}
    movable = chord.root is not None and chord.upper is None and verdict.reading.numeral is None
    if not movable or len(verdict.spelling_faults) < 2 or names & set(chord.names):
        return None
    for root in other_names(chord.root) if chord.root is not None else ():
        bass = None if chord.bass == chord.root else _spelled_in(names, chord.bass)
        other = Chord.on(root, chord.suffix, bass)
        if not judge(verdict.reading.naming(other), verdict.hearing):
            return other
    return None


def _spelled_in(names: set[PitchName], sound: PitchName) -> PitchName:
    return next((name for name in sorted(names) if name.sounds_like(sound)), sound)


RULE = Rule(
    id="chord-spelling",
    severity=Severity.ERROR,
    explanation=(
        "The tones of a chord are spelled in thirds from its root: F7 is F A C Eb, and the same "
        "sound written with D# is an augmented sixth that leads elsewhere. A reader who looks for "
        "the seventh does not find it under another letter."
    ),
    wrong="""\
key: Bb major
time: 4/4
chords: F7 | Bb
notes: 1/1 F3&A3&C4&D#4 | F3&Bb3&D4
""",
    right="""\
key: Bb major
time: 4/4
chords: F7 | Bb
notes: 1/1 F3&A3&C4&Eb4 | F3&Bb3&D4
""",
    check=_check,
)
