"""The rules that a music block is held to, in the order in which the handbook lists them.

Advice on a style (parallel fifths, doublings, spacing) joins this table as further rows.
"""

from typing import Final

from stavewright.checking.rule import Rule
from stavewright.checking.rules import (
    bar_count,
    bar_length,
    chord_label,
    chord_redundant,
    chord_spelling,
    chord_voicing,
    interval_name,
    key_signature,
    key_spelling,
    key_theoretical,
    lines_disagree,
    numeral_label,
    numeral_symbol,
    reading_rules,
    syllables,
    tie,
    tuplet,
    voice_range,
)
from stavewright.checking.rules.claim import RULE as CLAIM

BLOCK_RULES: Final[tuple[Rule, ...]] = (
    reading_rules.SYNTAX,
    bar_length.RULE,
    bar_count.RULE,
    tie.RULE,
    tuplet.RULE,
    syllables.RULE,
    voice_range.RULE,
    reading_rules.KEY_UNKNOWN,
    key_theoretical.RULE,
    key_signature.RULE,
    key_spelling.RULE,
    interval_name.RULE,
    reading_rules.CHORD_SYMBOL,
    chord_redundant.RULE,
    chord_label.RULE,
    chord_spelling.RULE,
    chord_voicing.RULE,
    numeral_symbol.RULE,
    numeral_label.RULE,
    lines_disagree.RULE,
)
"""Every rule of a block. Those without a check are reported by the parser."""

CLAIM_RULES: Final[tuple[Rule, ...]] = (CLAIM,)
"""What is said in a line of prose."""

LISTENING_RULES: Final = frozenset(
    {
        "bar-length",
        "key-signature",
        "key-spelling",
        "chord-label",
        "chord-spelling",
        "chord-voicing",
        "numeral-label",
        "lines-disagree",
        "syllables",
        "tie",
    }
)
"""Rules that compare what was written with what sounds. They wait until the block can be read: a
note that could not be read is silent, and would make right labels look wrong."""
