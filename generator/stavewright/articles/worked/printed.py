"""An answer as text for people and as JSON for programs."""

from __future__ import annotations

import json
from textwrap import wrap
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from stavewright.articles.worked.answer import Answer, Row

_WIDTH: Final = 80
_WIDEST_NAME: Final = 20


def answer_text(answer: Answer) -> str:
    """Lay an answer out for a terminal: facts in two columns, notes, what may be pasted.

    Claim and block begin at the left edge and are never broken, so that they can be copied.
    """
    parts = [answer.question]
    if answer.rows:
        width = min(max(len(row.name) for row in answer.rows), _WIDEST_NAME)
        parts.append("\n".join(_row(row, width) for row in answer.rows))
    parts += ["\n".join(wrap(note, _WIDTH)) for note in answer.notes]
    if answer.claim is not None:
        parts.append(f"Claim to paste:\n\n{pasted_claim(answer.claim)}")
    if answer.block is not None:
        parts.append(f"Block to paste:\n\n{pasted_block(answer.block)}")
    return "\n\n".join(parts)


def answer_json(answer: Answer) -> str:
    """Write an answer as JSON; claim and block are ready to paste, or null."""
    document = {
        "question": answer.question,
        "rows": [{"name": row.name, "value": row.value} for row in answer.rows],
        "notes": list(answer.notes),
        "claim": None if answer.claim is None else pasted_claim(answer.claim),
        "block": None if answer.block is None else pasted_block(answer.block),
    }
    return json.dumps(document, ensure_ascii=False, indent=2)


def pasted_claim(claim: str) -> str:
    """Write a claim as a code span."""
    return f"`{claim}`"


def pasted_block(block: str) -> str:
    """Write a block with its fence."""
    return f"```music\n{block}```"


def _row(row: Row, width: int) -> str:
    name = f"  {row.name:<{width}}  "
    if len(row.name) > width:
        return f"  {row.name}\n{_wrapped(row.value, ' ' * (width + 4), ' ' * (width + 4))}"
    return _wrapped(row.value, name, " " * (width + 4))


def _wrapped(words: str, first: str, indent: str) -> str:
    lines = wrap(
        words,
        _WIDTH,
        initial_indent=first,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return "\n".join(lines)
