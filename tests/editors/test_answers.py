"""Hovers and completions, from files of cases."""

import time
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

from stavewright.articles.article import FrontMatter
from stavewright.editors.completion import complete
from stavewright.editors.front_fields import FRONT_FIELDS
from stavewright.editors.hover import hover
from stavewright.editors.library import Library
from stavewright.editors.suggest_prose import Reach
from tests.editors.cases import Scene, cases, set_scene


@pytest.mark.parametrize("case", cases("hover.yaml"))
def test_hover(tmp_path: Path, case: dict[str, Any]) -> None:
    scene = set_scene(tmp_path, case["text"])
    found = hover(scene.document, scene.around, scene.line, scene.column)
    if case["under"] is None:
        assert found is None
        return
    assert found is not None
    assert scene.stretch(found.span.line, found.span.column, found.span.end_column) == case["under"]
    for words in case["says"]:
        assert words in found.markdown


def offers(scene: Scene) -> dict[str, Any]:
    reach = Reach(
        scene.library.paths(scene.document),
        tuple(sorted((scene.around.index.terms or {}).items())),
        lambda path: scene.library.article(scene.around.root, path),
    )
    found = complete(scene.document, reach, scene.line, scene.column)
    by_label = {item.label: item for item in found}
    assert len(by_label) == len(found), "something is offered twice"
    return by_label


@pytest.mark.parametrize("case", cases("completion.yaml"))
def test_completion(tmp_path: Path, case: dict[str, Any]) -> None:
    scene = set_scene(tmp_path, case["text"])
    found = offers(scene)
    labels = list(found)
    if "first" in case:
        wanted = case["first"]
        assert labels[: len(wanted) or None] == wanted
    assert set(case.get("has", ())) <= set(labels)
    assert not set(case.get("not", ())) & set(labels)
    chosen = found[next(iter(case.get("has", labels[:1])))] if labels else None
    if "inserts" in case:
        assert chosen is not None
        assert chosen.insert == case["inserts"]
    if "replaces" in case:
        assert chosen is not None
        assert scene.stretch(scene.line, chosen.start, scene.column) == case["replaces"]
    for label, detail in case.get("details", {}).items():
        assert found[label].detail == detail


def test_everything_that_is_offered_for_a_chord_can_be_read(tmp_path: Path) -> None:
    """What is offered must not be refused by the parser a moment later."""
    for text in ("chords: 1/1 Eb", "key: F# minor\nnumerals: 1/1 "):
        for item in offers(set_scene(tmp_path, f"```music\n{text}‸\n```")).values():
            before = text[: len(text) - len(text.rpartition(" ")[2])]
            written = set_scene(tmp_path, f"```music\n{before}{item.insert}\n```").document
            assert written.article.blocks[0].findings == (), item


def test_the_fields_of_the_front_matter_are_those_that_are_read() -> None:
    assert [name for name, _ in FRONT_FIELDS] == [each.name for each in fields(FrontMatter)]


def test_an_article_of_700_words_is_checked_while_a_key_is_struck(tmp_path: Path) -> None:
    """The promise is 60 ms on a machine that does nothing else; here it may do much else."""
    lines = "key: C major\ntime: 4/4\nchords: C Am | F G\nnotes: 1/4 C4 E4 G4 C5 | F4 A4 G4 B4"
    block = f"```music\n{lines}\n```\n"
    part = f"{'A word about `chord: F7 = F A C Eb` and its reasons. ' * 14}\n\n{block}\n"
    text = f"---\ntitle: T\ndate: 2026-01-01\n---\n\n{part * 5}"
    library = Library()
    place = tmp_path / "page.md"
    best = 1.0
    for turn in range(5):
        began = time.process_time()
        library.put(place, f"{text}{turn}")
        document = library.get(place)
        assert document is not None
        assert library.findings(document) == ()
        best = min(best, time.process_time() - began)
    print(f"{best * 1000:.0f} ms")
    assert best < 0.2
