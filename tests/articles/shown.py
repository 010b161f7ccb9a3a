"""Findings as lines of text, pasting what they suggest, and other helps for tests of articles."""

from stavewright.articles.article import Article
from stavewright.articles.read import read_article
from stavewright.notation.finding import Finding


def read(text: str, path: str = "answers/page.md") -> Article:
    """An article from a text."""
    return read_article(path, text, path)


def show(finding: Finding) -> str:
    """`line:column-end rule message | suggestion`."""
    span = finding.span
    place = f"{span.line}:{span.column}-{span.end_column}"
    suggestion = "" if finding.suggestion is None else f" | {finding.suggestion}"
    return f"{place} {finding.rule} {finding.message}{suggestion}".replace("\n", "\\n")


def pasted(text: str, finding: Finding) -> str:
    """The text with the suggestion of a finding in the place of its span."""
    lines = text.split("\n")
    span = finding.span
    row = lines[span.line - 1]
    lines[span.line - 1] = (
        row[: span.column - 1] + (finding.suggestion or "") + row[span.end_column - 1 :]
    )
    return "\n".join(lines)


def assert_inside(text: str, findings: tuple[Finding, ...]) -> None:
    """Every finding points into the text."""
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for finding in findings:
        span = finding.span
        assert 1 <= span.line <= len(lines), finding
        assert 1 <= span.column <= span.end_column <= len(lines[span.line - 1]) + 1, finding
