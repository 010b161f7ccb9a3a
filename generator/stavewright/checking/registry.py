"""The rules that a music block is held to, in the order in which the handbook lists them.

Advice on a style stands at the end: those rules are silent unless the block names the style.
"""

from typing import Final

from stavewright.checking.rule import Rule
from stavewright.checking.rules import (
    augmented_second,
    bar_count,
    bar_length,
    chord_label,
    chord_redundant,
    chord_spelling,
    chord_voicing,
    cross_relation,
    direct,
    doubling,
    fugal_answer,
    interval_name,
    key_signature,
    key_spelling,
    key_theoretical,
    leading_tone_resolution,
    lines_disagree,
    numeral_label,
    numeral_symbol,
    parallels,
    reading_rules,
    seventh_resolution,
    six_four,
    suspension,
    syllables,
    tie,
    tuplet,
    voice_order,
    voice_range,
    voice_spacing,
)
from stavewright.checking.rules.claim import RULE as CLAIM
from stavewright.checking.styles import ADVICE_RULES

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
    fugal_answer.RULE,
    reading_rules.CHORD_SYMBOL,
    chord_redundant.RULE,
    chord_label.RULE,
    chord_spelling.RULE,
    chord_voicing.RULE,
    numeral_symbol.RULE,
    numeral_label.RULE,
    lines_disagree.RULE,
    parallels.FIFTHS,
    parallels.OCTAVES,
    direct.FIFTHS,
    direct.OCTAVES,
    leading_tone_resolution.RULE,
    seventh_resolution.RULE,
    doubling.RULE,
    augmented_second.RULE,
    six_four.RULE,
    suspension.RULE,
    cross_relation.RULE,
    voice_spacing.RULE,
    voice_order.CROSSING,
    voice_order.OVERLAP,
)
"""Every rule of a block. Those without a check are reported by the parser."""

CLAIM_RULES: Final[tuple[Rule, ...]] = (CLAIM,)
"""What is said in a line of prose."""

LISTENING_RULES: Final = ADVICE_RULES | frozenset(
    {
        "bar-length",
        "key-signature",
        "key-spelling",
        "chord-label",
        "chord-spelling",
        "chord-voicing",
        "fugal-answer",
        "numeral-label",
        "lines-disagree",
        "syllables",
        "tie",
    }
)
"""Rules that compare what was written with what sounds. They wait until the block can be read: a
note that could not be read is silent, and would make right labels look wrong."""
