"""What can be done about a finding with one keystroke: write its suggestion, or accept the rule."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from stavewright.checking.registry import BLOCK_RULES
from stavewright.editors.document import Document
from stavewright.notation import Block
from stavewright.notation.finding import Finding
from stavewright.notation.source import Span

PLACEHOLDER: Final = "(say why)"
"""What stands for the reason, which only the author knows and readers are shown."""
_NEVER: Final = frozenset({"syntax"})
"""What cannot be read is silent in the figure, and no reason makes that true to a reader."""
_ACCEPTABLE: Final = frozenset(rule.id for rule in BLOCK_RULES) - _NEVER


@dataclass(frozen=True, slots=True)
class Fix:
    """One change that can be made to a document."""

    title: str
    finding: Finding
    span: Span
    """What is replaced; empty where something is put in."""
    text: str
    is_preferred: bool
    """Whether it is what most authors will want."""


def fixes(document: Document, findings: Iterable[Finding]) -> tuple[Fix, ...]:
    """What can be done about these findings of a document."""
    return tuple(fix for finding in findings for fix in _of(document, finding))


def repairs(findings: Iterable[Finding]) -> Iterator[Fix]:
    """The suggestions of findings, whatever they were found in."""
    for finding in findings:
        if finding.suggestion is not None:
            title = f"Write {_shown(finding.suggestion)}" if finding.suggestion else "Take it away"
            yield Fix(title, finding, finding.span, finding.suggestion, is_preferred=True)


def _of(document: Document, finding: Finding) -> Iterator[Fix]:
    yield from repairs((finding,))
    block = _block_of(document, finding)
    if block is not None and finding.rule in _ACCEPTABLE:
        title = f"Accept {finding.rule} in this block, for a reason"
        place, text = _accepting(document, block, finding.rule)
        yield Fix(title, finding, place, text, is_preferred=False)


def _shown(text: str) -> str:
    first, more, _ = text.partition("\n")
    return f"{first} …" if more else first


def _block_of(document: Document, finding: Finding) -> Block | None:
    line = finding.span.line
    for block in document.article.blocks:
        if block.source.fence.line <= line < document.end_of(block):
            return block
    return None


def _accepting(document: Document, block: Block, rule: str) -> tuple[Span, str]:
    """Where the line goes, and the line: the last of its block, indented and quoted alike."""
    last = min(document.end_of(block) - 1, len(document.texts))
    while last > block.source.fence.line and not _own(document, block, last).strip():
        last -= 1
    end = len(document.line(last)) + 1
    begins = document.begins_at(block, last)
    if last == block.source.fence.line:
        begins = block.source.fence.column
    before = document.line(last)[: begins - 1]
    # A fence in a list item has its mark before it, and the lines below it only the indent.
    indent = "".join(sign if sign == ">" else " " for sign in before)
    line = f"\n{indent}accept: {rule} because {PLACEHOLDER}"
    return Span(document.article.path, last, end, end), line


def _own(document: Document, block: Block, line: int) -> str:
    return document.line(line)[document.begins_at(block, line) - 1 :]
