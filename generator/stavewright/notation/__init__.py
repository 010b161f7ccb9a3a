"""What the author wrote: the block language, its parser, and the Score it means.

`parse_block` reads a music block and never raises: what it cannot read it reports. This room is
pure, as the theory below it is.

The names below are loaded when they are first asked for: a build in which nothing changed needs
findings and their places from this room, and none of the parser.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from stavewright.notation.block import Block, parse_block
    from stavewright.notation.claims import Claim, parse_claim
    from stavewright.notation.printer import print_score

__all__ = ["Block", "Claim", "parse_block", "parse_claim", "print_score"]

_HOMES: Final = {
    "Block": "block",
    "Claim": "claims",
    "parse_block": "block",
    "parse_claim": "claims",
    "print_score": "printer",
}


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
