"""The MEI of whole figures: valid by the schema, stable, and as it was agreed."""

import os
from pathlib import Path

import pytest
from lxml import etree

from stavewright.figures.figure import EngravingFault
from stavewright.figures.mei import Sheet, documents, fault_in
from tests.figures.scores import CONSTRUCTS, EXAMPLES, HERE, mei_text, read

# Music Encoding Initiative, MEI 5.1, mei-all.rng; it is too large to carry in the tree.
SCHEMA = HERE.parents[2] / "shared" / "schemas" / "mei-all-5.1.rng"
GOLDEN = ("accidentals", "cadence", "drums", "mid-bar-changes", "satb", "theoretical")


@pytest.fixture(scope="session")
def schema() -> etree.RelaxNG:
    if not SCHEMA.exists():
        pytest.skip("the MEI 5.1 schema does not lie in ../shared/schemas beside the checkout")
    return etree.RelaxNG(etree.parse(str(SCHEMA)))


@pytest.mark.parametrize("path", [*CONSTRUCTS, *EXAMPLES], ids=lambda path: path.name)
def test_figures_are_valid(schema: etree.RelaxNG, path: Path) -> None:
    score = read(path)
    fault = fault_in(score)
    if fault is not None:
        assert not score.voices, fault
        return
    both = documents(Sheet.of(score))
    assert both.wide == mei_text(score)
    for text in (both.wide, both.narrow):
        assert schema.validate(etree.fromstring(text.encode())), schema.error_log


@pytest.mark.parametrize("name", GOLDEN)
def test_mei_is_as_agreed(name: str) -> None:
    """Set STAVEWRIGHT_REWRITE=1 to write the files anew, then read the difference."""
    mei = etree.fromstring(mei_text(read(HERE / "constructs" / f"{name}.music")).encode())
    etree.indent(mei)
    text = etree.tostring(mei, encoding="unicode") + "\n"
    golden = HERE / "golden" / f"{name}.mei"
    if os.environ.get("STAVEWRIGHT_REWRITE"):
        golden.write_text(text, encoding="utf-8")
    assert text == golden.read_text(encoding="utf-8")


@pytest.mark.parametrize("path", CONSTRUCTS, ids=lambda path: path.stem)
def test_every_id_is_used_once_and_every_reference_is_met(path: Path) -> None:
    mei = etree.fromstring(mei_text(read(path)).encode())
    name = "{http://www.w3.org/XML/1998/namespace}id"
    ids = [e.get(name) for e in mei.iter() if e.get(name)]
    assert len(ids) == len(set(ids))
    ends = [e.get(a, "") for e in mei.iter() for a in ("startid", "endid", "plist") if e.get(a)]
    assert {end.removeprefix("#") for end in ends} <= set(ids)


def test_every_sounding_head_is_drawn_once() -> None:
    for path in CONSTRUCTS:
        score = read(path)
        mei = etree.fromstring(mei_text(score).encode())
        heads = [
            head
            for voice in score.voices
            for event in voice.events
            for group in (event.heads, *(grace.heads for grace in event.graces))
            for head in group
        ]
        notes = list(mei.iter("{*}note"))
        assert len(notes) == len(heads), path.name


def test_a_fault_says_why() -> None:
    from tests.figures.scores import written

    fault = fault_in(written("key: C major"))
    assert isinstance(fault, EngravingFault)
    assert "no music" in fault.message
