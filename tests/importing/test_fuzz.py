"""Whatever stands in a file, the import answers with a block or with one message."""

from __future__ import annotations

import random
import xml.etree.ElementTree as ET
import zipfile
from contextlib import suppress
from copy import deepcopy
from io import BytesIO

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stavewright.importing import CannotImportError, import_excerpt
from stavewright.importing import opening as opening_module
from stavewright.notation import parse_block
from tests.importing.case_files import mei, musicxml, read


def _documents() -> list[bytes]:
    found = []
    for name in ("musicxml.txt", "mei.txt"):
        for case in read(name):
            if not case.expected.startswith("cannot: "):
                fields, body = case.fields()
                text = musicxml(body, fields.get("part", "")) if "xml" in name else mei(body)
                found.append(text.encode())
    return found


DOCUMENTS = _documents()
_ODD = (
    "",
    "0",
    "-1",
    "1/0",
    "1e9",
    "nan",
    "inf",
    "99999999999",
    "½",
    "C",
    "x",
    " ",
    "-",
    "#",
    "7+",
)


def _mutated(data: bytes, seed: int) -> bytes:
    """A few elements lost, doubled, moved or given odd words and attributes."""
    chance = random.Random(seed)
    root = ET.fromstring(data)
    for _ in range(chance.randint(1, 6)):
        parents = [element for element in root.iter() if len(element)]
        parent = chance.choice(parents)
        child = chance.choice(list(parent))
        what = chance.randint(0, 5)
        if what == 0:
            parent.remove(child)
        elif what == 1:
            parent.append(child)
        elif what == 2:
            chance.choice(parents).insert(0, deepcopy(child))
        elif what == 3:
            chance.choice(list(root.iter())).text = chance.choice(_ODD)
        elif child.attrib:
            child.set(chance.choice(list(child.attrib)), chance.choice(_ODD))
        else:
            child.tag = chance.choice(list(root.iter())).tag
        if not any(len(element) for element in root.iter()):
            break
    return ET.tostring(root)


@settings(max_examples=250)
@given(st.sampled_from(DOCUMENTS), st.integers(0, 2**32))
def test_a_damaged_score_gives_a_block_or_one_message(data: bytes, seed: int) -> None:
    with suppress(CannotImportError):
        text = import_excerpt(_mutated(data, seed)).text
        assert not [f for f in parse_block(text).findings if f.rule == "syntax"]


@given(st.binary(max_size=400))
def test_any_bytes_give_one_message(data: bytes) -> None:
    with pytest.raises(CannotImportError):
        import_excerpt(data)


@given(st.binary(max_size=200))
def test_any_bytes_in_a_compressed_file_give_one_message(data: bytes) -> None:
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("score.xml", data)
    with pytest.raises(CannotImportError):
        import_excerpt(packed.getvalue())


def test_a_compressed_file_is_unpacked_within_a_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening_module, "MOST_BYTES", 1000)
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("score.xml", b"<score-partwise>" + b" " * 1_000_000)
    with pytest.raises(CannotImportError, match="megabytes of XML"):
        import_excerpt(packed.getvalue())


@pytest.mark.parametrize("inside", [True, False])
def test_compressed_files_are_read(inside: bool) -> None:
    """With a container that names the score (MusicXML 4.0), and without."""
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        if inside:
            archive.writestr(
                "META-INF/container.xml",
                '<container><rootfiles><rootfile full-path="a/b.musicxml"/></rootfiles>'
                "</container>",
            )
        archive.writestr("a/b.musicxml", DOCUMENTS[0])
    assert import_excerpt(packed.getvalue()).text == import_excerpt(DOCUMENTS[0]).text


def test_deep_nesting_is_refused() -> None:
    data = b"<score-partwise>" + b"<a>" * 500 + b"</a>" * 500 + b"</score-partwise>"
    with pytest.raises(CannotImportError, match="deep"):
        import_excerpt(data)


def test_utf_16_is_read() -> None:
    text = (
        DOCUMENTS[0]
        .decode()
        .replace('<?xml version="1.0"?>', '<?xml version="1.0" encoding="UTF-16"?>')
    )
    assert import_excerpt(text.encode("utf-16")).text == import_excerpt(DOCUMENTS[0]).text
