"""What the author wrote: the block language, its parser, and the Score it means.

`parse_block` reads a music block and never raises: what it cannot read it reports. This room is
pure, as the theory below it is.

The names below are loaded when they are first asked for: a build in which nothing changed needs
findings and their places from this room, and none of the parser.
"""

from typing import TYPE_CHECKING

from stavewright.lazy import names_of

if TYPE_CHECKING:
    from stavewright.notation.block import Block, parse_block
    from stavewright.notation.claims import Claim, parse_claim
    from stavewright.notation.printer import print_score

__all__ = ["Block", "Claim", "parse_block", "parse_claim", "print_score"]

__getattr__ = names_of(
    __name__,
    {
        "block": ("Block", "parse_block"),
        "claims": ("Claim", "parse_claim"),
        "printer": ("print_score",),
    },
)
