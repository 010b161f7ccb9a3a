"""What the author wrote: the block language, its parser, and the Score it means.

`parse_block` reads a music block and never raises: what it cannot read it reports. This room is
pure, as the theory below it is.
"""

from stavewright.notation.block import Block, parse_block
from stavewright.notation.claims import Claim, parse_claim
from stavewright.notation.printer import print_score
from stavewright.notation.realise import realise

__all__ = ["Block", "Claim", "parse_block", "parse_claim", "print_score", "realise"]
