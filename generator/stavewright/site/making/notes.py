"""What is said in a page, on the spot, of what is wrong there."""

from collections.abc import Iterable
from html import escape

from stavewright.notation.finding import Finding


def note(name: str, faults: Iterable[Finding]) -> str:
    """What is wrong, on the spot, in brackets: any theme and any voice tells it from the text."""
    # The page is made from the file, which needs no naming.
    said = "; ".join(map(_said, faults))
    return f' <strong class="{name}">[{escape(said)}]</strong>'


def _said(fault: Finding) -> str:
    words = f"line {fault.span.line}: {fault.message}"
    if fault.suggestion is None or fault.suggestion in fault.message:
        return words
    return f"{words}. Try: {fault.suggestion}"
