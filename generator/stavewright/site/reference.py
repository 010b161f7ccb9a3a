"""Handbook pages that are written from the tables the code runs on.

The lists of rules, of chord symbols and of the HTML that articles may hold must say what the code
does, so nobody types them. `python -m stavewright.site.reference FOLDER` writes the pages into a
handbook's folder; a test holds the ones in `content/handbook` to what this module gives.
"""

import sys
from collections.abc import Iterable
from itertools import dropwhile
from pathlib import Path

from stavewright.articles.check import check_article
from stavewright.articles.read import read_article
from stavewright.articles.rules import ARTICLE_RULES
from stavewright.checking.check import check_block
from stavewright.checking.registry import BLOCK_RULES, CLAIM_RULES
from stavewright.checking.rule import Rule
from stavewright.notation import parse_block
from stavewright.notation.finding import Finding
from stavewright.site.html_reference import html_page
from stavewright.site.setting_words import SETTINGS_HEAD, settings_table
from stavewright.theory.chord_table import WORDS, Family, SuffixRow, suffixes

_RULES_HEAD = """\
---
title: The rules
summary: Everything that is checked, each with an example that is found and one that is not.
kind: handbook
order: 8
---

Every finding names its rule. An **error** is a contradiction inside what you wrote and stops the
build. A **warning** is unusual and worth a second look. **Advice** is a convention of a style,
given only where the block names that style.

Where you mean it, write `accept: RULE because REASON` in the block. Your readers see the reason.
"""

_SYMBOLS_HEAD = """\
---
title: Chord symbols
summary: Every suffix that is understood, what it means, and how else it may be written.
kind: handbook
order: 9
---

A chord symbol is a root, a suffix from these tables, and perhaps a slash and a bass:
`chord: F#m7b5/A`. An accidental right after the root belongs to the root, so `chord: Bb5` is a
power chord on B flat, and `chord: B(b5)` is a B triad with its fifth lowered. Alterations and
added tones may be chained, with or without parentheses: `chord: C7b9#11`, `chord: C7(b9,#11)`.
Two chords at once stand in parentheses: `chord: (D)/(C7)`.

Common practice, no source: these are the readings on which teaching books and printed lead sheets
agree. Where they do not agree, the symbol is refused, and the finding names both readings.

## Words that may be exchanged

"""


_CHANGES = (Family.ALTERED, Family.ADDED, Family.OMITTED)


def rules_page() -> str:
    """The handbook's page of rules: explanation, an example that is found, and one put right."""
    rules = (*BLOCK_RULES, *CLAIM_RULES, *ARTICLE_RULES)
    return "\n".join([_RULES_HEAD, *map(_rule_section, rules)])


def chord_symbols_page() -> str:
    """The handbook's page of chord symbols."""
    words = "".join(f"| `{first}` | {_codes(others)} |\n" for first, *others in WORDS.values())
    exchanged = f"| Word | Also |\n|---|---|\n{words}"
    families: dict[str, dict[str, SuffixRow]] = {}
    for row in suffixes():
        # A suspension is in the table twice, as a chord and as a change to one: print the chord.
        families.setdefault(row.family, {}).setdefault(row.canonical, row)
    tables = [_family_table(family, rows.values()) for family, rows in families.items()]
    return "\n".join([_SYMBOLS_HEAD + exchanged, *tables])


PAGES = {"rules.md": rules_page, "chord-symbols.md": chord_symbols_page, "html.md": html_page}
"""File name in the handbook's folder, and what writes it."""

SETTINGS_PAGE = "front-matter.md"
"""The page that has the table of settings, among words that somebody wrote."""


def _rule_section(rule: Rule) -> str:
    findings = _findings(rule)
    said = "\n".join(_in_words(finding) for finding in findings if finding.rule == rule.id)
    return (
        f"## {rule.id} {{#{rule.id}}}\n\n"
        f"{rule.severity.value.capitalize()}. {rule.explanation}\n\n"
        f"Found:\n\n{_fenced(rule.wrong)}\n{said}\n"
        f"Put right:\n\n{_put_right(rule)}"
    )


def _findings(rule: Rule) -> tuple[Finding, ...]:
    """What the rule's wrong example gives, checked as an author would check it."""
    if rule in BLOCK_RULES:
        return check_block(parse_block(rule.wrong))
    # The example of a glossary rule is a glossary.
    path = "glossary.md" if rule.id == "term" else "example.md"
    return check_article(read_article(path, rule.wrong, path))


def _in_words(finding: Finding) -> str:
    where = f"line {finding.span.line}, column {finding.span.column}"
    suggestion = f" Suggested: {_code(finding.suggestion)}." if finding.suggestion else ""
    return f"> {where}: {_escaped(finding.message)}.{suggestion}\n"


def _escaped(words: str) -> str:
    """A message as Markdown text: what an author typed must not become emphasis or a link."""
    marks = "\\`*_[]<>&"
    return "".join(f"\\{letter}" if letter in marks else letter for letter in words.rstrip("."))


def _code(text: str) -> str:
    """A code span, fenced so that the text may hold backticks."""
    first = text.split("\n")[0]
    return f"`{first}`" if "`" not in first else f"`` {first} ``"


def _put_right(rule: Rule) -> str:
    """The right example: live if it is a block, as text if it is a piece of an article."""
    if rule in BLOCK_RULES:
        return f"{_fenced(rule.right)}\n{_fenced(rule.right, 'music')}"
    return _fenced(rule.right)


def _fenced(text: str, info: str = "text") -> str:
    fence = "````" if "```" in text else "```"
    return f"{fence}{info}\n{text.strip(chr(10))}\n{fence}\n"


def _family_table(family: str, rows: Iterable[SuffixRow]) -> str:
    lines = [
        f"## {family.capitalize()}\n",
        "| Symbol | Meaning | Tones | Also written |",
        "|---|---|---|---|",
    ]
    lines += [_row(row) for row in rows]
    return "\n".join(lines) + "\n"


def _row(row: SuffixRow) -> str:
    # What changes another chord has no sound of its own and is printed as typed.
    changes = row.family in {family.value for family in _CHANGES}
    symbol = f"`{row.canonical}`" if changes else f"`chord: C{row.canonical}`"
    tones = " ".join(row.degrees)
    return f"| {symbol} | {row.words} | {tones} | {_codes(_distinct(row))} |"


def _distinct(row: SuffixRow) -> list[str]:
    """The spellings that no exchange of words explains."""
    known = {row.canonical, *row.synonyms}
    return [text for text in row.synonyms if not (_exchanged(text) & known)]


def _exchanged(text: str) -> set[str]:
    """The spelling with one of its words put back into the form that heads the table."""
    return {
        text.replace(other, first)
        for first, *others in WORDS.values()
        for other in others
        if other in text and other not in first
    } - {text}


def _codes(texts: Iterable[str]) -> str:
    return " ".join(f"`{text}`" for text in texts)


def with_settings(page: str) -> str:
    """A page with its table of settings written anew."""
    before, head, rest = page.partition(SETTINGS_HEAD)
    lines = rest.splitlines(keepends=True)
    after = "".join(dropwhile(lambda line: line.startswith("|"), lines))
    return f"{before}{settings_table()}{after}" if head else page


def main(folder: Path) -> None:
    """Write every page into the folder, and the table of settings into the page that has it."""
    for name, page in PAGES.items():
        (folder / name).write_text(page(), encoding="utf-8", newline="\n")
    place = folder / SETTINGS_PAGE
    written = with_settings(place.read_text(encoding="utf-8"))
    place.write_text(written, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
