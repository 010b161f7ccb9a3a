"""How large a block may be.

A figure in an article is a few bars. Far beyond that lies a slip or an attack, and the engraver has
sizes at which it slows to a stop or dies; so the parser refuses them with a plain message.
"""

from typing import Final

SMALLEST_VALUE: Final = 1024
"""Denominator of the shortest note value: eight flags."""
LONGEST_VALUE: Final = 16
"""Whole notes in the longest value that a line may state."""
MOST_DIGITS: Final = 6
"""Longer numbers are not read at all."""
LOWEST_OCTAVE: Final = 0
HIGHEST_OCTAVE: Final = 9
"""Octaves that a staff can show without ladders of ledger lines."""
MOST_CENTS: Final = 350
"""Cents from its letter that three sharps and a half show."""
MOST_HEADS: Final = 20
"""Notes at once in one voice; ten fingers, doubled."""
MOST_BARS: Final = 500
MOST_EVENTS: Final = 8_000
"""Events of one timed line: sixteen in each of the most bars."""
MOST_VOICES: Final = 32
LONGEST_LABEL: Final = 100
"""Code points of a label, a chord symbol, a syllable or another word in a timed line."""
DEEPEST_NESTING: Final = 8
"""Groups inside groups."""
LARGEST_RATIO: Final = 64
"""The larger number of a group in a ratio."""
MOST_PASSES: Final = 20
"""The largest number in an ending bracket, and of a verse."""
MOST_SYMBOLS_SHARING: Final = 64
"""Symbols that may share one bar without values."""
MOST_FINDINGS: Final = 200
"""Findings of one block; whoever mends two hundred sees the rest next time."""
FASTEST_TEMPO: Final = 1000
