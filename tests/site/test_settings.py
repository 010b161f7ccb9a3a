"""The settings of a site: every field has a default, every fault has its place."""

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from stavewright.site.settings import Settings, read_settings
from stavewright.site.targets import Target, ToBranch, ToFolder, ToRsync, below

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
    assert settings.publish == ToFolder(Path("../public"))
    assert [(item.title, item.path) for item in settings.navigation] == [
        ("Answers", "answers/index.md")
    ]
    default = Settings()
    same = [
        name for name in Settings.__slots__ if getattr(settings, name) == getattr(default, name)
    ]
    assert same == []


@pytest.mark.parametrize(
    ("text", "target"),
    [
        ("{folder: ../public}", ToFolder(Path("/project/public"))),
        ("{folder: /srv/music}", ToFolder(Path("/srv/music"))),
        ("{branch: pages}", ToBranch("pages")),
        ("{branch: pages, repository: ../web, push: origin}",
         ToBranch("pages", Path("/project/web"), "origin")),
        ("{rsync: ../public}", ToRsync("/project/public")),
        ("{rsync: 'me@band.example:music'}", ToRsync("me@band.example:music")),
        ("{rsync: 'rsync://band.example/music'}", ToRsync("rsync://band.example/music")),
    ],
)  # fmt: skip
def test_where_to_publish_is_relative_to_the_content(text: str, target: Target) -> None:
    settings, findings = read_settings(f"publish: {text}", "content/site.yaml")
    assert findings == ()
    assert settings.publish is not None
    assert below(settings.publish, Path("/project/content")) == target


@given(st.text(max_size=200))
def test_any_text_gives_settings_and_findings_inside_the_text(text: str) -> None:
    _, findings = read_settings(text, "site.yaml")
    lines = text.split("\n")
    for finding in findings:
        assert 1 <= finding.span.line <= len(lines)
        assert finding.span.column <= len(lines[finding.span.line - 1]) + 1
