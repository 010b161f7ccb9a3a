"""Cases from YAML files, whose texts have a `‸` where the cursor is."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml

from stavewright.editors.document import Document
from stavewright.editors.library import Library, Surroundings

DATA = Path(__file__).parent / "data"
CURSOR = "‸"

NEIGHBOURS = {
    "site.yaml": "name: T\n",
    "glossary.md": "---\ntitle: Glossary\nkind: page\n---\n\nRaised sixth\n: Higher.\n",
    "keys/minor.md": (
        "---\ntitle: Minor\nkind: page\nsummary: Three forms.\n---\n\n## The raised ones\n"
    ),
    "bell.png": "",
}
"""What lies around the page of a case, which is `keys/page.md`."""


def cases(name: str) -> list[Any]:
    found: list[dict[str, Any]] = yaml.safe_load((DATA / name).read_text("utf-8"))
    titles = [case["title"] for case in found]
    if len(set(titles)) != len(titles):
        raise ValueError(f"{name}: a title is used twice")
    return [pytest.param(case, id=case["title"]) for case in found]


@dataclass(frozen=True)
class Scene:
    """A document among its neighbours, and the cursor in it."""

    library: Library
    document: Document
    line: int
    column: int

    @property
    def around(self) -> Surroundings:
        return self.library.surroundings(self.document)

    def stretch(self, line: int, start: int, end: int) -> str:
        return self.document.line(line)[start - 1 : end - 1]


def set_scene(folder: Path, text: str) -> Scene:
    """Lay the neighbours out and open the text; without a cursor it is at the beginning."""
    for name, content in NEIGHBOURS.items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(content, "utf-8")
    before, _, after = text.partition(CURSOR) if CURSOR in text else ("", "", text)
    library = Library()
    place = folder / "keys/page.md"
    library.put(place, before + after)
    document = library.get(place)
    assert document is not None
    line = before.count("\n") + 1
    return Scene(library, document, line, len(before) - before.rfind("\n"))
