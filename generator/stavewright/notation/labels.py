"""Labels: text between quotes, with `\\"` for a quote inside it."""

from stavewright.notation.passage import PLAIN_SIGNS


def label_end(written: str, start: int) -> int | None:
    """Find the closing quote of the label that opens at `start`; None where its line has none.

    A label opened by a plain quote is closed by a plain one, so that it may hold typographers'
    quotes; one opened by a typographers' quote is closed by any.
    """
    plain_only = written[start] == '"'
    at = start + 1
    while at < len(written) and written[at] != "\n":
        sign = written[at]
        if sign == "\\" and written[at + 1 : at + 2].translate(PLAIN_SIGNS) == '"':
            at += 2
            continue
        if sign == '"' or (not plain_only and sign.translate(PLAIN_SIGNS) == '"'):
            return at
        at += 1
    return None


def unquoted(written: str) -> str:
    """Give the text of a label, without its quotes."""
    plain = []
    at = 0
    while at < len(written):
        escaped = written[at] == "\\" and written[at + 1 : at + 2].translate(PLAIN_SIGNS) == '"'
        at += escaped
        plain.append(written[at])
        at += 1
    return "".join(plain)


def quoted(text: str) -> str:
    """Write a label with its quotes."""
    escaped = []
    for at, sign in enumerate(text):
        # Another quote sign needs its backslash only where it follows one.
        if sign == '"' or (text[at - 1 : at] == "\\" and sign.translate(PLAIN_SIGNS) == '"'):
            escaped.append("\\")
        escaped.append(sign)
    return f'"{"".join(escaped)}"'
