"""lines-disagree: chord symbols, numerals and notes that cannot all be right."""

from collections.abc import Iterator

from stavewright.checking.fault_words import tone_word
from stavewright.checking.metre import place_words
from stavewright.checking.quarrels import OddOne, Quarrel, quarrels
from stavewright.checking.rule import Rule
from stavewright.checking.suggesting import fitting_numeral, fitting_symbol
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score
from stavewright.theory.chord import Chord
from stavewright.theory.numeral_naming import numeral_for
from stavewright.theory.pitch import Pitch, PitchName

_REASON = (
    "The chord line, the numerals and the notes say the same thing in three ways; a reader who "
    "finds two of them at odds trusts none."
)


def _check(score: Score) -> Iterator[Finding]:
    for quarrel in quarrels(score):
        yield from _WORDS[quarrel.odd](quarrel)


def _about_note(quarrel: Quarrel) -> Iterator[Finding]:
    symbol, numeral = quarrel.symbol.reading, quarrel.numeral.reading
    note, tone = quarrel.note, quarrel.tone
    if note is None:
        return
    where = place_words(quarrel.symbol.hearing.score, note.start)
    if tone is not None:
        said = (
            f"both have {tone.name} as their {tone_word(tone)}, but {note.pitch} sounds in {where}"
        )
    else:
        said = f"are both {_said(numeral.chord)}, and {note.pitch} in {where} is not in it"
    message = (
        f"{symbol.text} and {numeral.text} in {numeral.key} {said}: the note is the odd one out"
    )
    right = None if tone is None else str(_nearest(tone.name, note.pitch))
    for span in note.spans:
        yield Finding("lines-disagree", Severity.ERROR, span, message, right, _REASON)


def _nearest(name: PitchName, to: Pitch) -> Pitch:
    """The note of that name next to a pitch."""
    octaves = (to.octave - 1, to.octave, to.octave + 1)
    return min((name.at(octave) for octave in octaves), key=lambda p: abs(p.cents - to.cents))


def _about_symbol(quarrel: Quarrel) -> Iterator[Finding]:
    symbol, numeral = quarrel.symbol.reading, quarrel.numeral.reading
    message = (
        f"{numeral.text} in {numeral.key} is {numeral.chord.symbol}, and so are the notes; "
        f"the chord symbol {symbol.text} is the odd one out"
    )
    better = fitting_symbol(quarrel.symbol, numeral.chord)
    yield Finding("lines-disagree", Severity.ERROR, symbol.span, message, better, _REASON)


def _about_numeral(quarrel: Quarrel) -> Iterator[Finding]:
    symbol, numeral = quarrel.symbol.reading, quarrel.numeral.reading
    joint = (
        f"but the notes are {symbol.text}, as the chord line says: the numeral is the odd one out"
        if quarrel.odd is OddOne.NUMERAL
        else f"but the chord line says {symbol.text}"
    )
    message = f"{numeral.text} in {numeral.key} is {_said(numeral.chord)}, {joint}"
    # Where the notes decide, they name the numeral; else it follows the chord line.
    decided = quarrel.odd is OddOne.NUMERAL
    better = fitting_numeral(quarrel.numeral, symbol.chord) if decided else None
    if better is None and numeral.key is not None:
        found = numeral_for(symbol.chord, numeral.key)
        better = str(found) if found is not None else None
    yield Finding("lines-disagree", Severity.ERROR, numeral.span, message, better, _REASON)


def _said(chord: Chord) -> str:
    return f"{chord.symbol} ({' '.join(chord.from_bass)})"


_WORDS = {
    OddOne.NOTE: _about_note,
    OddOne.SYMBOL: _about_symbol,
    OddOne.NUMERAL: _about_numeral,
    OddOne.UNDECIDED: _about_numeral,
}

RULE = Rule(
    id="lines-disagree",
    severity=Severity.ERROR,
    explanation=(
        "Where a block has chord symbols, numerals and notes, each says what the chord is; where "
        "two agree and the third does not, the third is the odd one out. A reader who finds two "
        "lines at odds cannot know which to believe."
    ),
    wrong="""\
key: G major
time: 4/4
chords: G | C | D7 | G
numerals: I | ii | V7 | I
notes: 1/1 G3&B3&D4 | C3&E3&G3&C4 | D3&F#3&C4 | G3&B3&D4
""",
    right="""\
key: G major
time: 4/4
chords: G | C | D7 | G
numerals: I | IV | V7 | I
notes: 1/1 G3&B3&D4 | C3&E3&G3&C4 | D3&F#3&C4 | G3&B3&D4
""",
    check=_check,
)
