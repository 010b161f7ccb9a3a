"""bar-count: lines that run together have the same number of bars."""

from collections.abc import Iterator

from stavewright.checking.bar_rows import BarRow, bar_rows
from stavewright.checking.rule import Rule
from stavewright.notation.finding import Finding, Severity
from stavewright.notation.score import Score

_REASON = "All voices run from the first bar to the last; where one is silent it says `rest`."
_REASON_OF_SYMBOLS = (
    "What stands above or below the notes counts the same bars as they do; a bar sign too many "
    "moves every symbol that follows."
)


def _check(score: Score) -> Iterator[Finding]:
    rows = bar_rows(score)
    voices, symbols = rows.voices, rows.symbols
    if voices:
        longest = max(voices, key=lambda row: len(row.bars))
        yield from _short_voices(voices, longest)
        yield from _long_symbols(symbols, longest)
    elif symbols:
        # A chart: the chord line, which comes first, is what the others are read against.
        yield from _long_symbols(symbols[1:], symbols[0])


def _short_voices(voices: tuple[BarRow, ...], longest: BarRow) -> Iterator[Finding]:
    for row in voices:
        span = row.voice.span if row.voice is not None else None
        if len(row.bars) < len(longest.bars) and span is not None:
            message = f"{row.counted}, and {longest.counted}"
            yield Finding("bar-count", Severity.ERROR, span, message, None, _REASON)


def _long_symbols(symbols: tuple[BarRow, ...], notes: BarRow) -> Iterator[Finding]:
    """A line of symbols may stop early, as one that names the first chords only."""
    for row in symbols:
        span = row.span_from(len(notes.bars))
        if span is not None:
            message = f"{row.counted[:1].upper()}{row.counted[1:]}, and {notes.counted}"
            yield Finding("bar-count", Severity.ERROR, span, message, None, _REASON_OF_SYMBOLS)


RULE = Rule(
    id="bar-count",
    severity=Severity.ERROR,
    explanation=(
        "All voices of a block have the same number of bars, one that is silent says `rest`, and "
        "no line of symbols has more bars than they. A missing bar is nearly always a missing bar "
        "sign, and shifts all that follows."
    ),
    wrong="""\
time: 3/4
staves: treble(right) bass(left)
right: 3/4 C5 | D5 | E5
left: 3/4 C3 | G3
""",
    right="""\
time: 3/4
staves: treble(right) bass(left)
right: 3/4 C5 | D5 | E5
left: 3/4 C3 | G3 | C3
""",
    check=_check,
)
