"""Footnotes that lead nowhere, and those that nothing leads to."""

import re
from collections.abc import Iterator
from typing import cast

from markdown_it.token import Token

from stavewright.articles.lines import Lines
from stavewright.articles.near import nearest
from stavewright.articles.places import Places
from stavewright.notation.finding import Finding, Severity

_REFERENCE = re.compile(r"(?<![\\!\]])\[\^(?P<label>[^\]\[\s]+)\](?![(\[:])")
_DEFINITION = re.compile(r"[\s>]*\[\^(?P<label>[^\]\s]+)\]:")


def check_footnotes(
    lines: Lines, body: int, env: dict[str, object], inlines: list[tuple[Token, Places]]
) -> Iterator[Finding]:
    """Compare the notes that are defined (in the parser's `env`) with the references to them."""
    notes = cast("dict[str, dict[str, int]]", env.get("footnotes", {}))
    uses = {label.removeprefix(":"): use for label, use in notes.get("refs", {}).items()}
    for inline, places in inlines:
        if "[^" in inline.content:
            yield from _undefined(inline, places, uses)
    unused = {label for label, use in uses.items() if use < 0}
    for row in range(body, len(lines.texts)) if unused else ():
        match = _DEFINITION.match(lines.texts[row])
        if match and match["label"] in unused:
            unused.discard(match["label"])
            yield Finding(
                "link",
                Severity.WARNING,
                lines.span(row, *match.span("label")),
                f"Nothing refers to the footnote `{match['label']}`, so no reader will see it",
            )


def _undefined(inline: Token, places: Places, uses: dict[str, int]) -> Iterator[Finding]:
    codes = [
        (token.meta["start"], token.meta["end"])
        for token in inline.children or ()
        if token.type == "code_inline" and "start" in token.meta
    ]
    for match in _REFERENCE.finditer(inline.content):
        in_code = any(start <= match.start() < end for start, end in codes)
        if match["label"] not in uses and not in_code:
            yield Finding(
                "link",
                Severity.ERROR,
                places.span(*match.span("label")),
                f"There is no footnote `{match['label']}`",
                suggestion=nearest(match["label"], uses),
                reason=f"A footnote is written as a paragraph `[^{match['label']}]: …`.",
            )
