"""Values put into a few words of Markdown, for the small window at the author's cursor."""

from typing import Final

from stavewright.articles.worked.answer import Answer
from stavewright.checking.rule import Rule
from stavewright.notation.vocabulary import Word

_SIGNS: Final = "\\`*_[]<>&#|~"
_SKIPPED: Final = frozenset({"symbol", "defining", "often left out", "also written", "reference"})
"""Rows of an answer that a glance has no room for."""


def escaped(text: str) -> str:
    """Text that means nothing to Markdown."""
    return "".join(f"\\{sign}" if sign in _SIGNS else sign for sign in text)


def code(text: str) -> str:
    """A code span that may hold backticks."""
    fence = "``" if "`" in text else "`"
    pad = " " if "`" in text else ""
    return f"{fence}{pad}{text}{pad}{fence}"


def of_answer(answer: Answer) -> str:
    """What is known of a key, a chord and so on: its facts, one a line, and reasons."""
    rows = {row.name: row.value for row in answer.rows if row.name not in _SKIPPED}
    meaning = rows.pop("meaning", "")
    if rows.get("printed") == "as it is":
        del rows["printed"]
    opening = f"**{escaped(answer.question)}**" + (f": {escaped(meaning)}" if meaning else "")
    facts = [f"- {name}: {escaped(value)}" for name, value in rows.items()]
    notes = [escaped(note) for note in answer.notes]
    return "\n\n".join(["\n".join([opening, "", *facts]) if facts else opening, *notes])


def of_word(word: Word) -> str:
    """A word of the block language; its meaning is Markdown as it is."""
    return f"**{escaped(word.name)}**: {word.meaning}\n\n{code(word.example)}"


def of_rule(rule: Rule) -> str:
    """A rule, with the example that it finds something in left to the handbook."""
    return f"**{rule.id}** ({rule.severity.value})\n\n{escaped(rule.explanation)}"
