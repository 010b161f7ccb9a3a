"""The handbook's table of styles says what the styles ask, and what they are."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stavewright.checking.registry import BLOCK_RULES
from stavewright.checking.styles import ADVICE_RULES, STYLES
from stavewright.notation.finding import Severity
from stavewright.notation.vocabulary import STYLE_NAMES

PAGE = Path(__file__).parents[2] / "content" / "handbook" / "language.md"


def test_the_styles_are_those_of_the_language() -> None:
    assert tuple(STYLES) == STYLE_NAMES
    assert all(style.name == name for name, style in STYLES.items())


def test_advice_is_what_a_style_asks_and_nothing_else() -> None:
    advice = {rule.id for rule in BLOCK_RULES if rule.severity is Severity.ADVICE}
    assert advice == ADVICE_RULES == frozenset().union(*(each.asks for each in STYLES.values()))


@pytest.mark.parametrize("name", STYLE_NAMES)
def test_the_page_links_every_rule_a_style_asks(name: str) -> None:
    match = re.search(rf"^\| `{name}` \|.*$", PAGE.read_text("utf-8"), re.MULTILINE)
    assert match is not None
    assert set(re.findall(r"rules\.md#([a-z-]+)", match[0])) == STYLES[name].asks
