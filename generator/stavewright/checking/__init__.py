"""Where what was written and what music theory says disagree: rules, and what they share.

`check_block` and `check_claim` are the two doors; each gives findings and never raises. This room
is pure: values in, values out.
"""

from stavewright.checking.check import check_block
from stavewright.checking.claims import check_claim
from stavewright.checking.registry import BLOCK_RULES, CLAIM_RULES
from stavewright.checking.rule import Rule

__all__ = ["BLOCK_RULES", "CLAIM_RULES", "Rule", "check_block", "check_claim"]
