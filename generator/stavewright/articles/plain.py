"""The words of a piece of Markdown, without their markup."""

from collections.abc import Iterable

from markdown_it.token import Token

_GAPS = {"softbreak", "hardbreak"}


def plain_text(tokens: Iterable[Token]) -> str:
    """Text, code and the alternative texts of pictures, with single spaces between the words."""
    parts: list[str] = []
    for token in tokens:
        if token.type in _GAPS:
            parts.append(" ")
        elif token.type == "image":
            parts.append(plain_text(token.children or ()))
        elif token.type in {"text", "code_inline"}:
            parts.append(token.content)
        elif token.type == "html_inline":
            # A tag that is kept is no word; one that is not is printed as it was typed.
            parts.append(token.meta.get("printed", ""))
    return " ".join("".join(parts).split())
