"""The settings of a site: every field has a default, every fault has its place."""

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from stavewright.site.settings import Settings, read_settings

CASES = yaml.safe_load((Path(__file__).parent / "data/settings.yaml").read_text("utf-8"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["title"])
def test_settings(case: dict[str, Any]) -> None:
    _, findings = read_settings(case["text"], "content/site.yaml")
    assert len(findings) == len(case["findings"])
    for finding, expected in zip(findings, case["findings"], strict=True):
        place, _, words = expected.partition(" ")
        assert f"{finding.span.line}:{finding.span.column}" == place
        assert finding.message.startswith(words)
        assert finding.rule == "front-matter"
    if "suggestion" in case:
        assert findings[0].suggestion == case["suggestion"]


def test_every_field_is_read() -> None:
    case = next(case for case in CASES if case["title"] == "everything")
    settings, _ = read_settings(case["text"], "content/site.yaml")
    assert settings.address == "https://band.example/music/"
    assert settings.publish_folder == "../public"
    assert [(item.title, item.path) for item in settings.navigation] == [
        ("Answers", "answers/index.md")
    ]
    default = Settings()
    same = [
        name for name in Settings.__slots__ if getattr(settings, name) == getattr(default, name)
    ]
    assert same == []


@given(st.text(max_size=200))
def test_any_text_gives_settings_and_findings_inside_the_text(text: str) -> None:
    _, findings = read_settings(text, "site.yaml")
    lines = text.split("\n")
    for finding in findings:
        assert 1 <= finding.span.line <= len(lines)
        assert finding.span.column <= len(lines[finding.span.line - 1]) + 1
