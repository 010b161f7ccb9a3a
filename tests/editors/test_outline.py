"""The parts of a document, and where its links lead."""

from pathlib import Path

import pytest

from stavewright.editors.outline import Part, destination, folds, outline
from tests.editors.cases import set_scene

TEXT = """---
title: T
kind: page
---

## One

```music
title: First
scale: D4 dorian
```

### Below

- ```music
  scale: E4 dorian
  ```

## Two
"""


def lines(parts: tuple[Part, ...]) -> list[object]:
    return [(part.name, part.span.line, part.last_line, lines(part.parts)) for part in parts]


def test_each_part_stands_below_its_heading(tmp_path: Path) -> None:
    document = set_scene(tmp_path, TEXT).document
    assert lines(outline(document)) == [
        (
            "One",
            6,
            18,
            [("First", 8, 11, []), ("Below", 13, 18, [("Figure 2", 15, 17, [])])],
        ),
        ("Two", 19, 20, []),
    ]
    assert folds(document) == ((1, 4), (6, 18), (8, 11), (13, 18), (15, 17), (19, 20))


@pytest.mark.parametrize(
    ("text", "leads"),
    [
        ("[x](min‸or.md)", ("keys/minor.md", None)),
        ("[x](minor.md#the-raised-on‸es)", ("keys/minor.md", 7)),
        ("## A\n\n[x](#‸a)", ("keys/page.md", 1)),
        ("[raised sixth](term:‸)", ("glossary.md", 6)),
        ("![x](../be‸ll.png)", ("bell.png", None)),
        ("[x](https://exa‸mple.org)", None),
        ("[x](../../../ou‸t.md)", None),
        ("[unknown](term:‸)", None),
        ("wor‸ds", None),
    ],
)
def test_where_a_link_leads(
    tmp_path: Path, text: str, leads: tuple[str, int | None] | None
) -> None:
    scene = set_scene(tmp_path, text)
    found = destination(scene.document, scene.around, scene.line, scene.column)
    place = found and (found.path, found.span and found.span.line)
    assert place == leads
