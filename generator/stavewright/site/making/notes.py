"""What is said in a page, on the spot, of what is wrong there."""

from collections.abc import Iterable
from html import escape

from stavewright.notation.finding import Finding


def note(name: str, faults: Iterable[Finding]) -> str:
    """What is wrong, on the spot, in brackets: any theme and any voice tells it from the text."""
    said = "; ".join(f"{fault.span}: {fault.message}" for fault in faults)
    return f' <strong class="{name}">[{escape(said)}]</strong>'
