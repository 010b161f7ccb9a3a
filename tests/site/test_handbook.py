"""The handbook keeps its word: sources are those of the figures below them, no word is missing."""

import re
from itertools import pairwise
from pathlib import Path

import pytest

from stavewright.articles.article import Article
from stavewright.articles.read import read_article
from stavewright.notation.clefs import CLEFS
from stavewright.notation.percussion import GENERAL_MIDI_DRUMS, SHORT_DRUM_NAMES
from stavewright.notation.vocabulary import (
    DYNAMICS,
    EVENT_NAMES,
    FIELD_NAMES,
    LINE_NAMES,
    MARKS,
    VIEW_NAMES,
)
from stavewright.site.check import check_paths

ROOT = Path(__file__).parents[2]
HANDBOOK = ROOT / "content" / "handbook"
EXAMPLES = sorted((ROOT / "tests" / "notation" / "examples").glob("*.music"))
TABLES = {
    "fields": FIELD_NAMES,
    "lines": LINE_NAMES,
    "events": EVENT_NAMES,
    "views": VIEW_NAMES,
    "dynamics": DYNAMICS,
    "marks": MARKS,
    "clefs": CLEFS,
    "percussion": [*GENERAL_MIDI_DRUMS, *SHORT_DRUM_NAMES],
}


def read(name: str) -> Article:
    file = HANDBOOK / name
    return read_article(f"handbook/{name}", file.read_text("utf-8"), str(file))


@pytest.mark.parametrize("name", ["language.md", "tunings.md"])
def test_a_source_is_that_of_the_figure_below_it(name: str) -> None:
    fences = [token for token in read(name).tokens if token.type == "fence"]
    shown = [
        (source.content, figure.content)
        for source, figure in pairwise(fences)
        if source.info == "text" and figure.info == "music"
    ]
    assert len(shown) == sum(fence.info == "music" for fence in fences) > 0
    for source, figure in shown:
        assert source == figure


def test_the_eight_worked_examples_end_the_language_page() -> None:
    blocks = [block.source.text.strip() for block in read("language.md").blocks]
    assert {path.read_text("utf-8").strip() for path in EXAMPLES} == set(blocks[-8:])


@pytest.mark.parametrize("table", TABLES)
def test_the_language_page_names_every_word(table: str) -> None:
    text = (HANDBOOK / "language.md").read_text("utf-8")
    known = set(re.findall(r"[a-z0-9+-]+", text))
    assert set(TABLES[table]) - known == set()


def first_article() -> str:
    match = re.search(r"````text\n(.*?)````", (HANDBOOK / "start.md").read_text("utf-8"), re.DOTALL)
    assert match is not None
    return match[1]


def findings_of(text: str, path: Path) -> list[str]:
    path.write_text(text, "utf-8")
    return [finding.message for finding in check_paths([path]).findings]


def test_the_first_article_is_clean_and_its_slip_is_found_as_printed(tmp_path: Path) -> None:
    text = first_article()
    assert findings_of(text, tmp_path / "leading-tone.md") == []
    (message,) = findings_of(text.replace("&G#4", "&G4"), tmp_path / "leading-tone.md")
    assert message in (HANDBOOK / "start.md").read_text("utf-8")


def test_the_false_claims_are_found_as_printed(tmp_path: Path) -> None:
    text = (HANDBOOK / "claims.md").read_text("utf-8")
    match = re.search(r"^    (In F it is .*)$", text, re.MULTILINE)
    assert match is not None
    head = "---\ntitle: New\ndate: 2026-01-01\n---\n"
    messages = findings_of(head + match[1] + "\n", tmp_path / "new.md")
    assert len(messages) == 2
    assert all(message in text for message in messages)
