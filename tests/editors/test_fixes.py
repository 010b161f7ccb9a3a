"""What can be done about a finding: each repair and each acceptance takes it away."""

from dataclasses import replace
from pathlib import Path

import pytest

from stavewright.checking.registry import BLOCK_RULES
from stavewright.checking.rule import Rule
from stavewright.editors.document import Document
from stavewright.editors.fixes import PLACEHOLDER, Fix, fixes

AROUND = {
    "alone": "```music\n{}\n```\n",
    "in a list": "1. One\n\n   ```music\n{}\n   ```\n",
    "in a quotation in a list": "- > ~~~music\n{}\n  > ~~~\n",
    "not closed": "```music\n{}",
    "before empty lines": "````music\n{}\n\n\n````\nText\n",
}
INDENTS = {"in a list": "   ", "in a quotation in a list": "  > "}


def read(text: str) -> Document:
    return Document.read(Path("page.md"), "page.md", text)


def applied(document: Document, fix: Fix) -> Document:
    lines = list(document.texts)
    row, span = lines[fix.span.line - 1], fix.span
    lines[span.line - 1] = row[: span.column - 1] + fix.text + row[span.end_column - 1 :]
    return read("\n".join(lines))


def in_text(block: str, name: str) -> str:
    indent = INDENTS.get(name, "")
    lines = [f"{indent}{line}" for line in block.strip("\n").split("\n")]
    return AROUND[name].format("\n".join(lines))


@pytest.mark.parametrize("name", AROUND)
@pytest.mark.parametrize("rule", BLOCK_RULES, ids=lambda rule: rule.id)
def test_what_is_offered_takes_the_finding_away(rule: Rule, name: str) -> None:
    document = read(in_text(rule.wrong, name))
    here = [finding for finding in document.findings if finding.rule == rule.id]
    assert here
    offered = [fix for finding in here for fix in fixes(document, [finding])]
    accepting = [fix for fix in offered if PLACEHOLDER in fix.text]
    assert len(accepting) == (0 if rule.id == "syntax" else len(here))
    for fix in offered:
        after = applied(document, fix)
        left = [finding for finding in after.findings if finding.rule == rule.id]
        if fix in accepting:
            assert left == []
            assert after.article.blocks[0].score.accepts[-1].rule == rule.id
        else:
            said = [replace(finding, span=fix.finding.span) for finding in left]
            assert said.count(fix.finding) < [*here].count(fix.finding) or len(left) < len(here)


def test_an_empty_suggestion_takes_away() -> None:
    document = read("One\x07 two\n")
    (fix,) = fixes(document, document.findings)
    assert (fix.title, fix.is_preferred) == ("Take it away", True)
    assert applied(document, fix).texts[0] == "One two"


def test_findings_of_prose_cannot_be_accepted() -> None:
    document = read("`chord: F7 = F A C E`\n\n```music\nkey: C major\n```\n")
    assert [fix.title for fix in fixes(document, document.findings)] == ["Write Eb"]
