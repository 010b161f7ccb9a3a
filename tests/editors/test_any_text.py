"""Whatever stands in a document and wherever the cursor is, there is an answer and no fault."""

from pathlib import Path

from hypothesis import example, given, settings
from hypothesis import strategies as st

from stavewright.editors.completion import complete
from stavewright.editors.fixes import fixes
from stavewright.editors.hover import hover
from stavewright.editors.library import Library
from stavewright.editors.outline import destination, folds, outline
from stavewright.editors.suggest_prose import Reach

_PIECES = (
    "```music\n¦```\n¦> ¦- ¦\n¦ ¦---\n¦title: x\n¦key: ¦D# major¦time: 4/4¦chords: ¦notes: ¦"
    "drums: ¦staves: ¦treble(a)¦a: ¦accept: ¦show: ¦tie¦ because ¦1/4 ¦C5¦F#m7b5/A¦V65/V¦key(¦)¦=¦"
    '.¦&¦numerals: ¦|¦"¦kick¦`chord: ¦`key: ¦`numeral: ¦`¦[x](¦term:¦#¦minor.md¦## A\n¦𝄞¦'
    "\ufeff¦\r\n¦\t¦\0¦<b>¦"
    "scale: ¦ dorian¦words(alto¦:¦//¦~~~¦^¦\u2028"
)
PIECES = st.sampled_from(_PIECES.split("¦"))


@settings(max_examples=80)
@given(st.lists(PIECES, max_size=14).map("".join), st.integers(0, 6), st.integers(0, 30))
@example("```music\nkey: C major\nnumerals: I key(", 3, 17)
@example("```music", 2, 1)
@example("- ```music\n", 2, 9)
def test_there_is_an_answer(text: str, down: int, right: int) -> None:
    library = Library()
    place = Path("/nowhere/page.md")
    library.put(place, text)
    document = library.get(place)
    assert document is not None
    around = library.surroundings(document)
    line, column = down + 1, right + 1
    found = hover(document, around, line, column)
    if found is not None:
        assert found.span.line == line
        assert found.markdown
    reach = Reach(library.paths(document), (), lambda _: None)
    for item in complete(document, reach, line, column):
        assert 1 <= item.start <= column
        assert "\n" not in item.insert
    for fix in fixes(document, library.findings(document)):
        assert 1 <= fix.span.line <= len(document.texts)
        assert fix.span.end_column <= len(document.line(fix.span.line)) + 1
    for first, last in folds(document):
        assert 1 <= first < last <= len(document.texts)
    assert len(outline(document)) <= len(document.texts)
    destination(document, around, line, column)
